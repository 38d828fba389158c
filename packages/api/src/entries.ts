import { z } from 'zod';
import { id, longWords } from './parts.js';

/** What staff enter, by kind. */
export const ENTRY_KINDS = [
  'animal',
  'parents',
  'spawn',
  'spawn-result',
  'cross',
  'sperm-check',
  'batch',
  'tank',
  'culture',
  'culture-reading',
  'move',
  'count',
  'ration',
  'water',
  'setting',
  'spat-count',
] as const;

/** Field to text, as it stands in a form: numbers with a decimal point, times as ISO 8601, lists with `;` between. */
const texts = z.record(z.string().max(60), z.string().max(2000));

export const newEntry = z.strictObject({
  fields: texts,
  /** Made by who sends it: sent again with the same key, because an answer was lost, it is kept once. */
  key: z.uuid().optional(),
});

/** What was kept. */
export const keptEntry = z.object({ id, name: z.string().nullable() });

export const correctedEntry = z.strictObject({
  /** The version that the corrector saw; the last one when left out. */
  version: z.number().int().min(1).optional(),
  /** Fields to say anew; an empty text takes a value away. */
  changes: texts,
  why: longWords,
});

export const takenBackEntry = correctedEntry.omit({ changes: true });

/** An entry after a correction. */
export const correctedAnswer = z.object({ id, version: z.number().int() });
