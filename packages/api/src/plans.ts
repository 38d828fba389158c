import { z } from 'zod';
import { id, limits, longWords, made, time, words } from './parts.js';
import { figure, planAnswer } from './plan-answers.js';

/** A question as docs/plan.schema.json describes it. */
export const planQuestion = z.looseObject({ kind: z.string().max(40) });

const value = z.union([
  z.number(),
  z.array(z.number()).min(1).max(200),
  z
    .array(z.tuple([z.number(), z.number()]))
    .min(1)
    .max(200),
]);

/** A figure changed for one plan alone. */
const changedFigure = z.strictObject({ name: words, value, why: longWords });

export const planToTry = z.strictObject({
  question: planQuestion,
  changed: z.array(changedFigure).max(100).optional(),
});

/** A plan worked out: nothing is kept. */
export const triedPlan = z.object({ answer: planAnswer, figures: z.string(), changed: z.array(figure) });

export const planToKeep = z.strictObject({
  ...planToTry.shape,
  /** Signed-off count that it is made from. */
  sample: id.nullish(),
  /** Sign-off that was looked at; refused when it no longer stands. */
  signOff: id.optional(),
  batch: id.nullish(),
  tank: id.nullish(),
  why: longWords.optional(),
});

/** A kept plan in a list. */
export const planHead = z.object({
  id,
  kind: z.string(),
  made,
  why: z.string().nullable(),
  sample: z.object({ id, name: z.string() }).nullable(),
  batch: z.object({ id, name: z.string() }).nullable(),
  tank: z.object({ id, name: z.string() }).nullable(),
  /** Whether the count behind it is still what it was. */
  standing: z.enum(['stands', 'reopened', 'signed-anew', 'rests-on-none']),
});

export const plan = z.object({
  ...planHead.shape,
  question: planQuestion,
  answer: planAnswer,
  figures: z.string(),
  changed: z.array(figure),
  program: z.string(),
});

export const planList = z.object({ plans: z.array(planHead) });
export const planChoice = z.strictObject({ sample: id.optional(), batch: id.optional(), tank: id.optional() });

const figureView = z.object({
  figure,
  /** The one that comes with the program; null for the house's own algae and sieve table. */
  shipped: figure.nullable(),
  own: z.boolean(),
  /** Oldest first; without a value the shipped one came back. */
  changes: z.array(z.object({ value: value.nullable(), why: z.string(), ...made.shape })),
});

export const figureList = z.object({ species: z.string(), figures: z.array(figureView) });

export const figureToSet = z.strictObject({
  /** Null goes back to the shipped one. */
  value: value.nullable(),
  why: longWords,
  /** How often it had been changed when it was looked at. */
  changes: z.number().int().min(0),
});

const move = z.object({ id, kind: z.string(), at: time, number: z.number() });

const before = z.object({
  what: z.enum(['count', 'came-in']),
  sample: z.object({ id, name: z.string() }).nullable(),
  at: time,
  alive: limits,
  meanLengthUm: limits.nullable(),
  shares: z.array(z.object({ stage: z.string(), share: limits })),
});

/** What a signed-off count changes, and the plans that it allows. */
export const afterCount = z.object({
  sample: z.object({ id, name: z.string(), takenAt: time }),
  signOff: z.object({ id, ...made.shape }),
  species: z.string(),
  tank: z.object({ id, name: z.string(), volumeMl: z.number().nullable() }).nullable(),
  batch: z.object({ id, name: z.string(), spawnedAt: time.nullable() }).nullable(),
  ageDays: z.number().nullable(),
  alive: limits,
  /** Whether dead ones are left out of it: in fixed samples nobody can tell. */
  deadLeftOut: z.boolean(),
  measured: z.number().int(),
  meanLengthUm: limits.nullable(),
  shares: z.array(z.object({ stage: z.string(), share: limits })),
  before: before.nullable(),
  between: z.array(move),
  since: z.array(move),
  survival: planAnswer.nullable(),
  growth: planAnswer.nullable(),
  dYield: planAnswer.nullable(),
  notWorkedOut: z.array(z.string()),
  allowed: z.array(z.object({ use: z.string(), question: planQuestion })),
  /** Tanks of the house with what is in them now. */
  tanks: z.array(z.object({ id, name: z.string(), volumeMl: z.number().nullable(), batch: z.string().nullable() })),
  plans: z.array(planHead),
});
