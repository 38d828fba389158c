import { objectsToReview, type Looked, type ToReview } from '@veligrid/server';
import { STAGES, VeligridError, type Stage } from '@veligrid/model';
import { stringify } from 'csv-stringify/sync';
import { parse } from 'csv-parse/sync';
import { isNoEntry, readText } from './read-text.js';

const COLUMNS = ['photo', 'detection_id', 'x_px', 'y_px', 'length_um', 'stage'] as const;

/** What people write for a find that is no egg, embryo or larva. */
const NOT_A_LARVA = 'not-larva';

/** A line for every object that counts, with what the program takes it for, to be looked at and corrected. */
export function reviewFile(photos: readonly ToReview[]): string {
  const rows = photos.flatMap(({ photo, view }) =>
    objectsToReview(view).map((object) => [
      photo,
      object.id,
      object.x.toFixed(0),
      object.y.toFixed(0),
      object.lengthUm === null ? '' : object.lengthUm.toFixed(1),
      object.stage,
    ]),
  );
  return stringify([[...COLUMNS], ...rows]);
}

function stageOf(path: string, line: number, said: string): Stage {
  const stage = said === NOT_A_LARVA ? 'debris' : STAGES.find((one) => one === said);
  if (stage !== undefined) return stage;
  const accepted = `one of ${STAGES.join(', ')}, ${NOT_A_LARVA}`;
  throw new VeligridError('bad-argument', `${path}, line ${line}: stage is "${said}": expected ${accepted}.`);
}

function rowsOf(path: string, text: string): Record<string, string>[] {
  try {
    return parse(text, { columns: true, bom: true, trim: true, skip_empty_lines: true });
  } catch (error) {
    throw new VeligridError('bad-argument', `${path} is no valid CSV (${(error as Error).message}).`, { cause: error });
  }
}

/**
 * Reads a reviewed file: CSV with the columns photo, detection_id and stage, one line for every object that was looked at,
 * unchanged ones too; others are passed over.
 *
 * @returns what was said of each object, by photo and id
 * @throws VeligridError `bad-argument` naming file, line and reason
 */
export async function readReview(path: string): Promise<Map<string, Map<string, Looked>>> {
  const rows = rowsOf(path, await readText(path));
  const looked = new Map<string, Map<string, Looked>>();
  for (const [i, row] of rows.entries()) {
    const [photo, id, stage] = [row['photo'], row['detection_id'], row['stage']];
    if (isNoEntry(photo) || isNoEntry(id) || stage === undefined) {
      throw new VeligridError('bad-argument', `${path}, line ${i + 2}: photo, detection_id and stage are needed.`);
    }
    const objects = looked.get(photo) ?? new Map<string, Looked>();
    if (objects.has(id))
      throw new VeligridError('bad-argument', `${path}, line ${i + 2}: ${id} of ${photo} stands there twice.`);
    looked.set(photo, objects.set(id, { stage: stageOf(path, i + 2, stage) }));
  }
  return looked;
}
