import { z } from 'zod';
import { named } from './morning.js';
import { containerMl, id, longWords, time, words } from './parts.js';

const change = z.object({ at: time, by: z.string(), why: z.string().nullable() });

/** A tank with all that was ever said of it. */
export const tankRecord = z.object({
  id,
  name: z.string(),
  volumeMl: z.number().nullable(),
  volumeStandardUncertaintyMl: z.number().nullable(),
  note: z.string(),
  /** False once it is no longer used. */
  active: z.boolean(),
  revision: z.number().int(),
  /** Batch that is in it; null when it is empty. */
  holds: named.nullable(),
  /** First version first. */
  history: z.array(
    change.extend({ name: z.string(), volumeMl: z.number().nullable(), note: z.string(), active: z.boolean() }),
  ),
});

export const changedTank = z.strictObject({
  /** The version that the changer saw; refused when it is no longer the last. */
  revision: z.number().int().min(1),
  name: words.optional(),
  volumeMl: containerMl.nullish(),
  volumeStandardUncertaintyMl: z.number().min(0).max(1e12).nullish(),
  note: z.string().trim().max(2000).optional(),
  active: z.boolean().optional(),
  why: longWords.optional(),
});

/** A culture with its last readings, latest first. */
export const cultureRecord = z.object({
  id,
  name: z.string(),
  alga: z.string(),
  /** The alga of the presets that it is fed as; null when there are no figures for it. */
  fedAs: z.string().nullable(),
  note: z.string(),
  active: z.boolean(),
  revision: z.number().int(),
  readings: z.array(
    z.object({
      id,
      version: z.number().int(),
      at: time,
      by: z.string(),
      litres: z.number().nullable(),
      cellsPerMl: z.number(),
      /** Cells on the slide that the density rests on; null when it was not counted there. */
      tally: z
        .object({
          cells: z.number(),
          volumeMl: z.number(),
          steps: z.array(z.object({ takenMl: z.number(), madeUpToMl: z.number() })),
        })
        .nullable(),
      note: z.string(),
    }),
  ),
});

export const changedCulture = z.strictObject({
  revision: z.number().int().min(1),
  alga: words.optional(),
  note: z.string().trim().max(2000).optional(),
  active: z.boolean().optional(),
});

/** Backups that are there, and what takes how much room. */
export const backups = z.object({
  /** How the server makes them by itself; null when it was not told to. */
  plan: z.object({ folder: z.string(), everyHours: z.number(), keep: z.number().int() }).nullable(),
  /** Latest first. */
  made: z.array(z.object({ name: z.string(), at: time })),
  /** Bytes. */
  use: z.object({ database: z.number(), pictures: z.number(), cache: z.number(), free: z.number() }),
});
