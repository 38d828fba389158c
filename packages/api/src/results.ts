import { z } from 'zod';
import { id, limits, longWords, made, stage, time, warning } from './parts.js';

/** What a sample would say as it stands. Plain numbers without limits: nobody stands for them yet. */
export const proposal = z.object({
  notSignedOff: z.literal(true),
  /** Number of decisions that it was made with. */
  order: z.number().int(),
  /** Eggs, embryos and larvae in what is counted, alive or dead, `unsure` included. */
  animals: z.number().int(),
  byStage: z.partialRecord(stage, z.number().int()),
  /** Volume looked at, as part of the container's water, in mL; null when it can't be told yet, with the reason. */
  lookedAtMl: z.number().nullable(),
  densityPerMl: z.number().nullable(),
  total: z.number().nullable(),
  why: z.string().nullable(),
  /** What still stands in the way of signing off, as sentences. */
  missing: z.array(z.string()),
  warnings: z.array(warning),
});

/** Signs one photo off. */
export const lookedAt = z.strictObject({
  /** Number of decisions that the person saw; 409 when there are newer ones on this photo. */
  order: z.number().int().min(0),
});

/** Signs the whole count off. */
export const signOff = z.strictObject({ order: z.number().int().min(0) });

export const reopening = z.strictObject({ reason: longWords });

const contribution = z.object({
  name: z.string(),
  relativeStandardUncertainty: z.number(),
  degreesOfFreedom: z.number().nullable(),
  source: z.string(),
});

/** Density and total with limits, as docs/statistics.md explains them. */
export const countEstimate = z.object({
  densityPerMl: limits,
  total: limits,
  countingErrorAlone: limits,
  yieldOfEggs: limits.optional(),
  relativeStandardUncertainty: z.number().nullable(),
  degreesOfFreedom: z.number().nullable(),
  method: z.string(),
  dispersion: z.looseObject({}),
  contributions: z.array(contribution),
  warnings: z.array(warning),
});

/** Share of one stage with limits, 0..1. */
const stageShare = z.object({ stage: z.string(), animals: z.number().int(), share: limits });

/** Figures of lengths, micrometres. */
export const lengthFigures = z.object({
  measured: z.number().int(),
  /** Counted but not measured: cut, on edge or out of focus. */
  leftOut: z.number().int(),
  lengthsUm: z.array(z.number()),
  mean: limits.nullable(),
  percentiles: z.array(z.object({ percent: z.number(), lengthUm: z.number() })),
});

/** A count that staff signed off, with what follows from it. */
export const result = z.object({
  /** Identifier of the sign-off. */
  id,
  sample: id,
  signedOff: made,
  /** Null while it stands. */
  reopened: z.object({ ...made.shape, reason: z.string() }).nullable(),
  countingRule: z.string(),
  rulesVersion: z.string(),
  /** Number of decisions that it stands on. */
  decisions: z.number().int(),
  animals: z.number().int(),
  /** All animals, dead ones and empty shells included. */
  all: countEstimate,
  /** Without `dead` and `empty-shell`. Null for fixed samples, where it can't be told. */
  alive: countEstimate.nullable(),
  shares: z.array(stageShare),
  lengths: lengthFigures.nullable(),
  /** Audit of squares; null when fewer than two were tallied. */
  audit: z
    .object({ squares: z.number().int(), audited: z.number().int(), difference: limits, ratio: limits.nullable() })
    .nullable(),
  /** What a reader of the figures must know, in words. */
  cautions: z.array(warning),
});

/** All sign-offs of a sample, latest last; reopened ones stay. */
export const results = z.object({ results: z.array(result) });

/** A calibration of one microscope with one objective. */
export const calibration = z.object({
  id,
  microscope: z.string(),
  objective: z.string(),
  umPerPx: z.number(),
  /** Standard uncertainty over the value, 0..1; null when not known. */
  relativeStandardUncertainty: z.number().nullable(),
  /** In words, such as `two points 1000 um apart`. */
  measuredOn: z.string(),
  made,
  /** Day from which the settings call it out of date. */
  goodUntil: time,
  outOfDate: z.boolean(),
});
