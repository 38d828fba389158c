import { z } from 'zod';
import { form, longWords, outline, stage, time } from './parts.js';

/** Id of the photo. */
const name = z.string().min(1).max(64);
const key = z.string().min(1).max(64);
const drawn = z.strictObject({ id: key, outline, stage });
const made = { id: key, by: z.string(), at: time };

/** Every kind of decision, without who and when. */
const choices = [
  { kind: z.literal('relabel'), photo: name, object: key, stage },
  { kind: z.literal('form'), photo: name, object: key, form },
  { kind: z.literal('remove'), photo: name, object: key },
  { kind: z.literal('redraw'), photo: name, object: key, outline },
  { kind: z.literal('add'), photo: name, drawn },
  { kind: z.literal('split'), photo: name, object: key, into: z.array(drawn).min(2).max(50) },
  { kind: z.literal('join'), photo: name, objects: z.array(key).min(2).max(50), into: drawn },
  { kind: z.literal('reject-photo'), photo: name, reason: longWords },
  { kind: z.literal('choose-squares'), photo: name, squares: z.array(key).max(1000).nullable() },
  { kind: z.literal('note'), photo: name, text: longWords },
  { kind: z.literal('undo'), decision: key },
  { kind: z.literal('redo'), decision: key },
] as const;

const [relabel, judged, remove, redraw, add, split, join, reject, squares, note, undo, redo] = choices;

/** A decision of the log, as `@veligrid/review` keeps it. */
export const decision = z.discriminatedUnion('kind', [
  z.object({ ...made, ...relabel }),
  z.object({ ...made, ...judged }),
  z.object({ ...made, ...remove }),
  z.object({ ...made, ...redraw }),
  z.object({ ...made, ...add }),
  z.object({ ...made, ...split }),
  z.object({ ...made, ...join }),
  z.object({ ...made, ...reject }),
  z.object({ ...made, ...squares }),
  z.object({ ...made, ...note }),
  z.object({ ...made, ...undo }),
  z.object({ ...made, ...redo }),
]);

const own = { id: key };

/** A decision as the browser sends it: the server says who and when. The id is made in the browser, so that sending it twice stores it once. */
export const newDecision = z.discriminatedUnion('kind', [
  z.strictObject({ ...own, ...relabel }),
  z.strictObject({ ...own, ...judged }),
  z.strictObject({ ...own, ...remove }),
  z.strictObject({ ...own, ...redraw }),
  z.strictObject({ ...own, ...add }),
  z.strictObject({ ...own, ...split }),
  z.strictObject({ ...own, ...join }),
  z.strictObject({ ...own, ...reject }),
  z.strictObject({ ...own, ...squares }),
  z.strictObject({ ...own, ...note }),
  z.strictObject({ ...own, ...undo }),
  z.strictObject({ ...own, ...redo }),
]);

/** The log of a sample, or the part after a number of decisions. */
export const decisionLog = z.object({
  /** Number of decisions in the whole log; the ETag. */
  order: z.number().int(),
  decisions: z.array(decision),
});

export const logAsked = z.object({ after: z.coerce.number().int().min(0).optional() });

export const newDecisions = z.strictObject({
  /** Number of decisions that the sender knew. */
  expectedOrder: z.number().int().min(0),
  decisions: z.array(newDecision).min(1).max(500),
});

/** What was stored. */
export const storedDecisions = z.object({
  order: z.number().int(),
  /** The ones sent, with who and when. */
  stored: z.array(decision),
  /** What others had decided since, in order, before the stored ones; empty when nothing. */
  newer: z.array(decision),
});

/** Two decisions that can't both stand. */
export const conflict = z.object({ mine: decision, theirs: decision, reason: z.string() });

/** One object as it stands now. */
const viewedObject = z.object({
  id: z.string(),
  x: z.number(),
  y: z.number(),
  outline: z.array(z.tuple([z.number(), z.number()])),
  stage,
  form,
  square: z.string().nullable(),
  lengthUm: z.number().nullable(),
  heightUm: z.number().nullable(),
  measurable: z.boolean(),
  counted: z.boolean(),
  decisions: z.array(z.string()),
});

/** Counted photos with all standing decisions applied; the same as `viewOf` of `@veligrid/review` gives. */
export const view = z.object({
  order: z.number().int(),
  photos: z.array(
    z.object({
      /** Its id. */
      photo: z.string(),
      rejected: z.string().nullable(),
      squares: z.array(z.string()).nullable(),
      notes: z.array(z.object({ by: z.string(), at: time, text: z.string() })),
      objects: z.array(viewedObject),
    }),
  ),
});
