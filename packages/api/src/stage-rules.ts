import { z } from 'zod';
import { longWords, made, stage } from './parts.js';

const agreement = z.object({
  larvae: z.number().int(),
  slides: z.number().int(),
  /** Part judged rightly before and after, 0..1. */
  before: z.number(),
  after: z.number(),
  putRight: z.number().int(),
  putWrong: z.number().int(),
  /** Chance of such a difference by luck (McNemar). */
  p: z.number(),
  /** Rows: what staff say; columns: what the rules say. */
  tableBefore: z.array(z.object({ truth: z.string(), judged: z.string(), larvae: z.number().int() })),
  tableAfter: z.array(z.object({ truth: z.string(), judged: z.string(), larvae: z.number().int() })),
});

/** One version of the stage rules. */
export const rulesVersion = z.object({
  version: z.string(),
  species: z.string(),
  /** Version that it was learned on top of; null for the starting rules. */
  parent: z.string().nullable(),
  /** In words, on whose counts. */
  origin: z.string(),
  /** `proposed`: learned, neither taken nor refused yet. */
  state: z.enum(['in-force', 'proposed', 'refused', 'earlier']),
  made: made.nullable(),
  /** What was learned from, and how it compares; null for the starting rules. */
  learned: z
    .object({
      larvae: z.number().int(),
      slides: z.number().int(),
      touched: z.array(z.object({ stage, larvae: z.number().int(), slides: z.number().int(), used: z.boolean() })),
      /** On larvae each judged without its own slide; null when none were audited. */
      heldOut: agreement.nullable(),
      /** Whether the gate lets them be taken, and if not, why. */
      accepted: z.boolean(),
      weak: z.boolean(),
      reasons: z.array(z.string()),
    })
    .nullable(),
});

/** All versions, latest last, with every change of which is in force. */
export const rulesHistory = z.object({
  inForce: z.string(),
  versions: z.array(rulesVersion),
  changes: z.array(
    z.object({
      ...made.shape,
      what: z.enum(['taken', 'refused', 'gone-back']),
      version: z.string(),
      reason: z.string().nullable(),
    }),
  ),
  /** Checked larvae that wait to be learned from. */
  waiting: z.object({ larvae: z.number().int(), corrected: z.number().int(), slides: z.number().int() }),
});

export const rulesAsked = z.strictObject({ reason: longWords.nullish() });
