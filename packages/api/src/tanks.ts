import { z } from 'zod';
import { containerMl, id, time, words } from './parts.js';

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
  /** When it was spawned, for the age of samples; null when unknown. */
  spawnedAt: time.nullable(),
  note: z.string(),
  since: time,
});
export const newBatch = z.strictObject({
  name: words,
  species: words,
  spawnedAt: time.nullish(),
  note: z.string().trim().max(2000).optional(),
});
