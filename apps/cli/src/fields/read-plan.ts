import { readFile } from 'node:fs/promises';
import { VeligridError } from '@veligrid/model';

/** A drawn field, as far as its photo is looked for. */
export interface PlannedField {
  readonly number: string;
  readonly photo: string | null;
}

/** How fields and photos are brought together. */
export const NAMING = 'Call each photo after its field, such as field-01.jpg, or write its name into fields.json.';

const isRecord = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;

function fieldOf(value: unknown): PlannedField | null {
  if (!isRecord(value)) return null;
  const { number, photo = null } = value;
  if (typeof number !== 'string' || !/^\d+$/.test(number)) return null;
  return photo === null || typeof photo === 'string' ? { number, photo } : null;
}

/**
 * Reads a plan that `veligrid fields` wrote.
 *
 * @throws VeligridError `bad-argument` when it cannot be read or is no plan
 */
export async function readPlan(path: string): Promise<PlannedField[]> {
  const remedy = 'Name the fields.json that veligrid fields wrote.';
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? 'unknown';
    throw new VeligridError('bad-argument', `${path} could not be read (${code}). ${remedy}`, { cause: error });
  }
  let plan: unknown;
  try {
    plan = JSON.parse(text);
  } catch (error) {
    throw new VeligridError('bad-argument', `${path} is not JSON. ${remedy}`, { cause: error });
  }
  const fields = isRecord(plan) && Array.isArray(plan['fields']) ? plan['fields'].map(fieldOf) : [null];
  const known = fields.filter((field) => field !== null);
  if (known.length < fields.length || known.length === 0) {
    throw new VeligridError('bad-argument', `${path} is not a plan of fields. ${remedy}`);
  }
  return known;
}

/** `field-01`, `field 1`, `Field_01b` ... at the start of a word. */
const FIELD_NAME = /(?:^|[^a-z0-9])field[ _-]?0*(\d+)(?!\d)/i;

const lastPart = (path: string): string => path.split(/[/\\]/).pop() ?? path;

/**
 * Field that a photo shows: the one whose plan names the photo, else the one it is called after.
 *
 * @param photo path of the photo below the folder that was given
 * @returns number of the field, or null
 */
export function fieldOfPhoto(plan: readonly PlannedField[], photo: string): string | null {
  const named = plan.find(
    (field) => field.photo !== null && (field.photo === photo || field.photo === lastPart(photo)),
  );
  if (named !== undefined) return named.number;
  const digits = FIELD_NAME.exec(lastPart(photo))?.[1];
  return plan.find((field) => digits !== undefined && Number(field.number) === Number(digits))?.number ?? null;
}
