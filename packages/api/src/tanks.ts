import { z } from 'zod';
import { containerMl, id, longWords, time, words } from './parts.js';

/** A tank, bucket or bag that larvae live in. */
export const tank = z.object({
  id,
  name: z.string(),
  /** Usual volume in mL, or null. */
  volumeMl: containerMl.nullable(),
  since: time,
});
export const newTank = z.strictObject({ name: words, volumeMl: containerMl.nullish() });

/** Larvae of one spawn that are kept together. */
export const batch = z.object({
  id,
  name: z.string(),
  species: z.string(),
  /** Moment of fertilisation, for the age of samples; null when unknown. */
  fertilisedAt: time.nullable(),
  note: z.string().nullable(),
  since: time,
});
export const newBatch = z.strictObject({
  name: words,
  species: words,
  fertilisedAt: time.nullish(),
  note: longWords.nullish(),
});
