import { randomInt } from 'node:crypto';
import { access } from 'node:fs/promises';
import { join } from 'node:path';
import { VeligridError } from '@veligrid/model';
import type { Console } from '../console.js';
import { prepareFolder, writeResult } from '../count/write-result.js';
import { EXIT } from '../exit-codes.js';
import { drawFields, type FieldUnit } from '@veligrid/estimation';
import { fieldMap } from './field-map.js';
import { fieldText } from './field-text.js';
import type { RuledCell } from '@veligrid/estimation';

/** Arguments of `veligrid fields`. */
export interface FieldsArguments {
  readonly cell: RuledCell;
  readonly photos: number;
  readonly unit: FieldUnit;
  readonly out: string;
  /** Default: drawn by the system. */
  readonly seed?: number;
}

/** What drawing takes from outside. */
interface Chance {
  readonly now: () => Date;
  readonly seed: () => number;
}

const CHANCE: Chance = { now: () => new Date(), seed: () => randomInt(2 ** 32) };

async function isThere(path: string): Promise<boolean> {
  try {
    await access(path);
    return true;
  } catch {
    return false;
  }
}

/**
 * Draws the fields to photograph and writes the plan, and a map to print. A plan that is there already is never drawn
 * anew: who draws until he likes it has not drawn at random.
 *
 * @returns exit code 0
 * @throws VeligridError for more photos than fields (2), a plan that is there already (4), no place for the files (5)
 */
export async function fieldsCommand(args: FieldsArguments, console: Console, chance: Chance = CHANCE): Promise<number> {
  const { cell, photos, unit, out, seed = chance.seed() } = args;
  const plan = drawFields({ cell, photos, unit, seed, drawnAt: chance.now().toISOString() });
  const planPath = join(out, 'fields.json');
  if (await isThere(planPath)) {
    const message = `${planPath} is there already, and fields are drawn once. Photograph those, or name another folder with --out for another filling.`;
    throw new VeligridError('refused', message);
  }
  await prepareFolder(out);
  await writeResult(planPath, `${JSON.stringify(plan, null, 2)}\n`);
  const mapPath = join(out, 'fields.html');
  await writeResult(mapPath, fieldMap(plan));
  console.out(`${fieldText(plan)}\nPlan for veligrid count --fields: ${planPath}\nMap to print: ${mapPath}\n`);
  return EXIT.done;
}
