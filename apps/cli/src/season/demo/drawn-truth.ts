import { readFile } from 'node:fs/promises';
import type { Stage } from '@veligrid/model';
import type { Looked, ToReview } from '@veligrid/server';
import { objectsToReview } from '@veligrid/server';
import { readTruth, type TrueObject } from '../../score/read-truth.js';

/** Stages as the drawer of the slides names them. */
const STAGES: Readonly<Record<string, Stage>> = {
  egg_unfertilised: 'egg',
  egg_fertilised: 'fertilised-egg',
  two_cell: 'two-cell',
  four_cell: 'four-cell',
  morula: 'morula',
  blastula: 'blastula',
  gastrula: 'gastrula',
  trochophore: 'trochophore',
  d_hinge: 'd-larva',
  early_umbo: 'umbo',
  umbo: 'umbo',
  eyed: 'eyed',
  dead: 'dead',
  empty_shell: 'empty-shell',
};

/** An object lies on what was drawn there within half its length. */
function drawnAt(objects: readonly TrueObject[], x: number, y: number): TrueObject | null {
  const apart = (one: TrueObject): number => Math.hypot(one.x - x, one.y - y) / one.lengthPx;
  const [nearest] = objects.toSorted((a, b) => apart(a) - apart(b));
  return nearest !== undefined && apart(nearest) <= 0.5 ? nearest : null;
}

/** What a person would say of every object of a drawn slide: what was drawn there, and no larva where nothing was. */
export async function lookedByTruth({ view }: ToReview, truthFile: string): Promise<Map<string, Looked>> {
  const truth = readTruth(JSON.parse(await readFile(truthFile, 'utf8')));
  return new Map(
    objectsToReview(view).map(({ id, x, y }) => {
      const drawn = drawnAt(truth?.objects ?? [], x, y);
      return [id, { stage: drawn === null ? 'debris' : (STAGES[drawn.stage] ?? 'unsure') }] as const;
    }),
  );
}
