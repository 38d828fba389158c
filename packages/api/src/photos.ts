import type { PhotoCount } from '@veligrid/model';
import { z } from 'zod';
import { id, made, outline, time, warning } from './parts.js';

/** How far a photo is. */
export const photoState = z.enum(['waiting', 'counting', 'counted', 'failed', 'cancelled']);

/** One photo of a sample. */
export const photo = z.object({
  id,
  sample: id,
  /** Name of the file as staff gave it. Decisions and counts call the photo by its id, not by this. */
  name: z.string(),
  /** Number of the filling that it shows, from 1. */
  filling: z.number().int(),
  /** Drawn field that it shows, or null. */
  field: z.string().nullable(),
  /** SHA-256 of the stored copy, hexadecimal; addresses of its pictures carry it. */
  hash: z.string(),
  widthPx: z.number().int(),
  heightPx: z.number().int(),
  /** From 1, and of how many, when the file has several pages. */
  page: z.number().int(),
  pages: z.number().int(),
  state: photoState,
  /** Part of the count done, 0..1. */
  done: z.number(),
  /** Why it failed and what to do, or null. */
  why: z.string().nullable(),
  /** Hash of its count, the ETag of its detections; null before it is counted. */
  count: z.string().nullable(),
  /** Signed off by, at which number of decisions; null when not, or when decided on since. */
  lookedAt: z.object({ ...made.shape, order: z.number().int() }).nullable(),
  warnings: z.array(warning),
  added: time,
});

/** A file that was not taken, and why. */
const refusedFile = z.object({ file: z.string(), why: z.string() });

/** What became of the files that were sent. */
export const uploaded = z.object({ photos: z.array(photo), refused: z.array(refusedFile) });

/** Parts of the form beside the files (`photos`, 1 to 50). */
export const uploadParts = z.object({
  /** Number of the filling that the photos show. Default 1. */
  filling: z.coerce.number().int().min(1).optional(),
  /** Drawn fields, one for each photo in order, as a JSON list; null where a photo shows none. */
  fields: z.string().optional(),
});

/** Pyramid of square pictures: level `maxLevel` is full size, each below it half as wide. */
export const pyramid = z.object({
  widthPx: z.number().int(),
  heightPx: z.number().int(),
  tileSize: z.number().int(),
  /** Pixels that neighbours share on each side. */
  overlap: z.number().int(),
  maxLevel: z.number().int(),
  format: z.literal('jpg'),
  /** Address of a square: put in {level}, {column} and {row}. */
  address: z.string(),
  /** Address of the small picture. */
  preview: z.string(),
});

/** The count of a photo as `veligrid count` writes it, its `photo` being the photo's id; every field: docs/count.schema.json. */
export const photoCount = z
  .looseObject({
    photo: z.string(),
    widthPx: z.number(),
    heightPx: z.number(),
    detections: z.array(z.looseObject({ id: z.string() })),
  })
  .meta({
    description: 'The count of a photo, as docs/count.schema.json describes it',
  }) as unknown as z.ZodType<PhotoCount>;

/**
 * How much of a count is wanted. `shown`: each detection with only those features that the viewer tells people; the rest
 * is for learning and is most of the answer.
 */
export const detectionsAsked = z.object({ features: z.enum(['all', 'shown']).optional() });

/** Events of `GET /samples/{sample}/events`, by name. */
export const photoEvent = z.discriminatedUnion('event', [
  /** A photo is new, or its state, name, warnings or sign-off changed. */
  z.object({ event: z.literal('photo'), data: photo }),
  z.object({ event: z.literal('progress'), data: z.object({ photo: id, done: z.number() }) }),
  /** Somebody decided: the number of decisions now. */
  z.object({ event: z.literal('decisions'), data: z.object({ order: z.number().int() }) }),
  /** The sample itself changed, was signed off or reopened. */
  z.object({
    event: z.literal('sample'),
    data: z.object({ revision: z.number().int(), state: z.enum(['open', 'signed-off']) }),
  }),
]);

/** An audited square of a photo: drawn by the program, in the order to do them. */
export const auditSquare = z.object({
  name: z.string(),
  cornersPx: outline,
  /** To be tallied by hand before any outline is shown. */
  blind: z.boolean(),
  /** Eggs, embryos and larvae that staff saw; null before it is done. */
  tally: z.object({ animals: z.number().int(), ...made.shape }).nullable(),
});

/** Squares to audit, one in five of the photo's whole squares; none without ruled lines. */
export const audit = z.object({ seed: z.number().int(), squares: z.array(auditSquare) });

export const squareTally = z.strictObject({ animals: z.number().int().min(0).max(100_000) });
