import { z } from 'zod';
import { id, point, warning, words } from './parts.js';
import { pyramid } from './photos.js';

/** Where a calibration comes from. */
const calibrationSource = z.discriminatedUnion('way', [
  z.strictObject({ way: z.literal('given'), umPerPx: z.number().min(0.05).max(50) }),
  /** Two points on a picture of something of known length. */
  z.strictObject({
    way: z.literal('two-points'),
    points: z.tuple([point, point]),
    distanceUm: z.number().min(1).max(100_000),
    /** Picture that the points were set on, when it was sent. */
    picture: id.optional(),
  }),
  /** Lines that the program found on a picture, accepted by a person. */
  z.strictObject({ way: z.literal('picture'), picture: id }),
]);

export const newCalibration = z.strictObject({
  microscope: words,
  objective: words,
  source: calibrationSource,
});

/** What a picture for calibration shows: `ruler` and `stage-micrometer` with one smallest division, `grid` with one square. */
export const pictureParts = z.object({
  shows: z.enum(['ruler', 'stage-micrometer', 'grid', 'points']),
  /** Micrometres of one smallest division or of one square's side; not for `points`. */
  divisionUm: z.coerce.number().min(1).max(10_000).optional(),
});

/** Scale with the lines that gave it, to be shown on the picture. */
const calibrationFound = z.object({
  umPerPx: z.number(),
  /** Standard uncertainty over the value, 0..1. */
  relativeStandardUncertainty: z.number(),
  /** Ends of each line in pixels. */
  lines: z.array(z.tuple([point, point])),
  /** How well the lines support the scale. */
  quality: z.object({
    /** Lines that the scale rests on. */
    lines: z.number().int(),
    /** Lines hidden or left out between the first and the last. */
    hiddenLines: z.number().int(),
    /** How far lines stray from even spacing (standard deviation), pixels. */
    residualPx: z.number().nullable(),
    /** Relative change of the scale along a ruler, and of its ends from its middle. */
    drift: z.number().nullable(),
    bulge: z.number().nullable(),
    /** Scale across over scale along the squares of a grid. */
    axisRatio: z.number().nullable(),
  }),
  /** The eyepiece's own ruler, when it is in sight: later photos that show it are scaled by it. */
  eyepieceRuler: z
    .object({ divisionPx: z.number(), divisionUm: z.number(), relativeStandardUncertainty: z.number() })
    .nullable(),
  warnings: z.array(warning),
});

/** A picture for calibration with what was found on it. */
export const calibrationPicture = z.object({
  id,
  hash: z.string(),
  widthPx: z.number().int(),
  heightPx: z.number().int(),
  /** Address of the picture at 1280 px at most; points and lines are in pixels of the full one. */
  picture: z.string(),
  /** For looking closely. */
  pyramid,
  /** Null when no lines were found. */
  found: calibrationFound.nullable(),
  /** Why nothing was found and what to do; null when something was. */
  why: z.string().nullable(),
});
