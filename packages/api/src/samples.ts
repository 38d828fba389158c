import { COUNTING_RULES } from '@veligrid/model';
import { z } from 'zod';
import { containerMl, id, longWords, made, smallMl, step, time, words } from './parts.js';

/** What was done to the sample before it was looked at. */
const sampleNotes = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('live') }),
  z.strictObject({ kind: z.literal('chilled') }),
  z.strictObject({ kind: z.literal('fixed'), fixative: words, buffered: z.boolean().optional() }),
]);

/** One filling of the slide with its own volumes. The first of the list is number 1; photos say which they show. */
export const filling = z.strictObject({
  /** Dilutions and concentrations between the container and the slide, in order. */
  steps: z.array(step).max(10),
  /** Volume on the slide in mL when the whole slide is counted; else null, and squares or fields give it. */
  wholeSlideMl: smallMl.nullable(),
});

/** The counting cell. */
const cell = z.strictObject({
  kind: z.enum(['sedgwick-rafter', 'haemocytometer', 'none']),
  /** Depth in mm when it is not the usual one of the kind (1, or 0.1 for a haemocytometer). */
  depthMm: z.number().min(0.001).max(100).optional(),
});

/** Where micrometres come from. */
const scaleChoice = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('given'), umPerPx: z.number().min(0.05).max(50) }),
  z.strictObject({ kind: z.literal('calibration'), calibration: id }),
  /** From the ruled lines of the cell, else from the photo's own tags. */
  z.strictObject({ kind: z.literal('ruled-lines') }),
]);

/** A field of the cell drawn at random before anybody looked. */
const drawnField = z.object({
  /** `01` on, in the order of the way over the cell. */
  number: z.string(),
  /** Such as `Q7`, or `row 7` for a strip. */
  name: z.string(),
  column: z.number().int().nullable(),
  row: z.number().int(),
});

/** Fields to photograph. */
export const fieldPlan = z.object({
  unit: z.enum(['squares', 'strips']),
  seed: z.number().int(),
  drawnAt: time,
  fields: z.array(drawnField),
});

/** What is asked of the draw. */
export const fieldsAsked = z.strictObject({
  photos: z.number().int().min(1).max(50),
  unit: z.enum(['squares', 'strips']).default('squares'),
});

const described = {
  tank: id,
  batch: id.nullable(),
  /** When it was taken from the tank. */
  takenAt: time,
  condition: sampleNotes,
  species: words,
  /** Hours after fertilisation; null when unknown. */
  ageHours: z.number().min(0).max(10_000).nullable(),
  /** Volume of what the fillings were taken from, in mL. */
  containerMl,
  fillings: z.array(filling).min(1).max(100),
  cell,
  scale: scaleChoice,
  countingRule: z.enum(COUNTING_RULES),
  note: z.string().trim().max(2000),
};

/** Photos of a sample by state. */
const photoTally = z.object({
  all: z.number().int(),
  counted: z.number().int(),
  failed: z.number().int(),
  /** Waiting or being counted. */
  underWay: z.number().int(),
  lookedAt: z.number().int(),
});

/** One count of one tank: its volumes, its photos, and whether it is signed off. */
export const sample = z.object({
  id,
  ...described,
  tankName: z.string(),
  batchName: z.string().nullable(),
  fields: fieldPlan.nullable(),
  state: z.enum(['open', 'signed-off']),
  photos: photoTally,
  made,
  /** Grows by one with every change of these fields; the ETag. */
  revision: z.number().int(),
});

export const newSample = z.strictObject({
  ...described,
  /** Left out: the batch that was in the tank then; null: of none. */
  batch: id.nullish(),
  ageHours: described.ageHours.nullish(),
  species: words.optional(),
  takenAt: time.optional(),
  countingRule: described.countingRule.default('centroid'),
  note: described.note.default(''),
  /** Draws fields at once; null or left out: none are drawn and the count says so. */
  draw: fieldsAsked.nullish(),
});

/**
 * Fields to change; needs `If-Match` with the ETag. Fillings may be changed and added to, not taken away; cell, scale,
 * species, condition and age can't change once there are photos, as these were counted by them.
 */
export const changedSample = z
  .object({
    ...described,
    /** Why, for the history. */
    why: longWords,
  })
  .omit({ tank: true })
  .partial()
  .strict();

/** A correction of what was noted of a sample or one of its fillings. */
export const sampleChange = z.object({
  ...made.shape,
  why: z.string().nullable(),
  changed: z.array(
    z.object({
      what: z.enum(['containerMl', 'takenAt', 'note', 'batch', 'steps', 'wholeSlideMl']),
      /** Number of the filling, or null for the sample itself. */
      filling: z.number().int().nullable(),
      before: z.union([z.string(), z.number()]).nullable(),
      after: z.union([z.string(), z.number()]).nullable(),
    }),
  ),
});

export const samplesAsked = z.object({
  tank: id.optional(),
  batch: id.optional(),
  state: z.enum(['open', 'signed-off']).optional(),
  /** How many at most, 1 to 200; 100 when left out. */
  most: z.coerce.number().int().min(1).max(200).optional(),
  /** How many of the latest to leave out: those that were asked for before. */
  skip: z.coerce.number().int().min(0).max(10_000_000).optional(),
});

/** How the photos of a sample are counted, as it is kept with the sample. */
export const countingNotes = z.object({
  cell,
  scale: scaleChoice,
  countingRule: z.enum(COUNTING_RULES),
  fields: fieldPlan.nullable(),
});
