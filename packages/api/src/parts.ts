import { FORMS, STAGES } from '@veligrid/model';
import { z } from 'zod';

/** Identifier made by the server. */
export const id = z.string().min(1).max(64);

/** A moment, ISO 8601 with zone. */
export const time = z.iso.datetime({ offset: true });

/** A name or a line that people type. */
export const words = z.string().trim().min(1).max(200);

/** Several lines that people type. */
export const longWords = z.string().trim().min(1).max(2000);

/** Roles of staff; each may do what the ones before it may. */
export const role = z.enum(['viewer', 'counter', 'manager']);

export const stage = z.enum(STAGES);
export const form = z.enum(FORMS);

/** Milliliters of a container, above 0. */
export const containerMl = z.number().min(1e-6).max(1e12);

/** Milliliters on a slide or in a pipette, above 0. */
export const smallMl = z.number().min(1e-6).max(1e7);

/** One dilution or concentration, by volumes: `madeUpToMl` is the final volume, never the volume added. */
export const step = z.strictObject({ takenMl: smallMl, madeUpToMl: smallMl });

/** Point in the upright picture, pixels, pixel centres at integers. */
export const point = z.tuple([z.number(), z.number()]);

/** Closed outline without a repeated end point, three corners or more. */
export const outline = z.array(point).min(3).max(5000);

/** Figure with its limits. */
export const limits = z.object({ estimate: z.number(), low: z.number(), high: z.number() });

const sentence = z.object({
  as: z.string(),
  /** Names, numbers, or numbers with limits, by the names in braces of the sentence. */
  values: z.record(z.string(), z.union([z.string(), z.number(), limits])),
});

/** Something the user should know: a stable code, the sentence in English, and what it takes to say it in another language. */
export const warning = z.object({
  code: z.string(),
  message: z.string(),
  /** Which sentence it is, with what stands in it; left out where the code alone tells. */
  said: sentence.extend({ of: sentence.optional() }).optional(),
});

/** Who did something, and when. */
export const made = z.object({ by: z.string(), at: time });

/** Nothing to say. */
export const empty = z.object({});
