import { z } from 'zod';
import { id, limits, made, time } from './parts.js';

/** A thing of the house with its name. */
const named = z.object({ id, name: z.string() });

const verdict = z.enum(['not-counted', 'no-measurable-loss', 'loss', 'more-than-came-in']);

const ledgerLine = z.enum(['stocked', 'movedIn', 'movedOut', 'culled', 'sampled', 'shipped', 'putToSet', 'discarded']);

/** Days after fertilisation; null when that is not known. */
const day = z.number().nullable();

/** One more thing that is known of a happening: what it is, with its name or numbers. */
const fact = z.object({
  what: z.string(),
  name: z.string().optional(),
  number: z.number().optional(),
  of: z.number().optional(),
});

/** Where something stands in the record: a sample, or an entry that can be corrected. */
const entryLink = z.object({ kind: z.string(), id, version: z.number().int() });

/** One thing that happened to a batch or in a tank. */
export const happening = z.object({
  at: time,
  kind: z.string(),
  batch: named.nullable(),
  tank: named.nullable(),
  /** Animals it is about, exact ones with equal limits; null when none were counted or moved. */
  animals: limits.nullable(),
  facts: z.array(fact),
  by: z.string(),
  entries: z.array(entryLink),
  /** Photos of a sample; 0 for all else. */
  photos: z.number().int(),
});

/** A move or a count that can't have happened as it is said; it is left out of all numbers. */
const refusedEntry = z.object({ kind: z.enum(['move', 'sample']), id, at: time, by: z.string(), why: z.string() });

/** A figure of the trade that was used, with its source. */
const figure = z.object({
  name: z.string(),
  value: z.union([z.number(), z.array(z.number()), z.array(z.tuple([z.number(), z.number()]))]),
  unit: z.string(),
  source: z.string(),
  confidence: z.string(),
  preset: z.string(),
  version: z.string(),
});

/** Where some of a batch is now. */
const tankNow = z.object({
  tank: named,
  since: time,
  /** There if none died since the last count. */
  present: limits,
  densityPerMl: limits.nullable(),
  lastCount: z.object({ sample: named, at: time, alive: limits }).nullable(),
});

/** A signed-off count of a batch. */
const batchCount = z.object({
  sample: named,
  tank: named.nullable(),
  at: time,
  day,
  fixed: z.boolean(),
  photos: z.number().int(),
  signedOff: made,
  animals: z.number().int(),
  alive: limits,
  densityPerMl: limits,
  shares: z.array(z.object({ stage: z.string(), animals: z.number().int(), share: limits })),
});

const growthCourse = z.object({
  points: z.array(
    z.object({
      sample: named,
      tank: named.nullable(),
      at: time,
      day: z.number(),
      measured: z.number().int(),
      meanUm: limits.nullable(),
      percentiles: z.array(z.object({ percent: z.number(), lengthUm: z.number() })),
      /** Beside the band of its age; `below` and `above` only when the limits lie wholly there. */
      place: z.enum(['below', 'within', 'above', 'no-band']),
    }),
  ),
  band: z.array(z.object({ day: z.number(), slowUm: z.number(), fastUm: z.number() })),
  temperatureC: z.number().nullable(),
  bandAt: z.object({ fromC: z.number(), toC: z.number(), pace: z.number() }).nullable(),
});

const survivalCourse = z.object({
  intervals: z.array(
    z.object({
      tank: named,
      fromAt: time,
      fromDay: day,
      /** Null when it begins with what came into the tank. */
      fromSample: named.nullable(),
      toAt: time,
      toDay: day,
      toSample: named,
      start: limits,
      out: z.array(z.object({ line: ledgerLine, animals: z.number(), moves: z.array(id) })),
      expected: limits,
      alive: limits,
      unexplained: limits,
      verdict,
      survival: limits.nullable(),
      survivalPerDay: limits.nullable(),
    }),
  ),
  /** Part of those stocked that was alive at each count, removals allowed for. */
  points: z.array(z.object({ sample: named, tank: named, at: time, day, ofStocked: limits })),
  overall: limits.nullable(),
  /** From the first count of larvae, a day or more after fertilisation. */
  sinceLarvae: limits.nullable(),
  usual: z.object({ low: z.number(), high: z.number() }),
});

/** Ledger up to the last counts, each number with the moves it is added up from. */
const balanceSheet = z.object({
  lines: z.array(z.object({ line: ledgerLine, animals: limits, moves: z.array(id) })),
  alive: limits.nullable(),
  counts: z.array(z.object({ sample: named, tank: named, alive: limits })),
  unexplained: limits.nullable(),
  verdict,
  present: limits,
  since: z.number().int(),
});

const part = z.object({
  ...named.shape,
  share: z.number(),
  takenAsEqual: z.boolean(),
  /** Spawns that a cross or a parent comes from. */
  spawns: z.array(named),
});

/** A batch from broodstock to now. */
export const batchSeason = z.object({
  batch: z.object({
    ...named.shape,
    species: z.string(),
    spawnedAt: time.nullable(),
    note: z.string(),
  }),
  ageDays: day,
  now: z.array(tankNow),
  counts: z.array(batchCount),
  growth: growthCourse,
  survival: survivalCourse,
  timeline: z.array(happening),
  balance: balanceSheet,
  pedigree: z.object({
    effectiveBreeders: z.number().nullable(),
    batches: z.array(part),
    crosses: z.array(part),
    dams: z.array(part),
    sires: z.array(part),
    unknown: z.number(),
  }),
  refused: z.array(refusedEntry),
  figures: z.array(figure),
});

/** A batch in a list of batches. */
export const batchLine = z.object({
  batch: named,
  species: z.string(),
  spawnedAt: time.nullable(),
  ageDays: day,
  state: z.enum(['in-tanks', 'set', 'shipped', 'gone', 'not-stocked']),
  tanks: z.array(named),
  present: limits.nullable(),
  lastCount: z
    .object({ sample: named, at: time, alive: limits, meanUm: limits.nullable(), stage: z.string().nullable() })
    .nullable(),
  survival: limits.nullable(),
  verdict,
});

/** A tank with what is and was in it. */
export const tankSeason = z.object({
  tank: z.object({ ...named.shape, volumeMl: z.number().nullable(), note: z.string() }),
  now: z.object({ ...tankNow.shape, batch: named }).nullable(),
  stays: z.array(z.object({ batch: named, beganAt: time, endedAt: time.nullable() })),
  counts: z.array(
    z.object({
      sample: named,
      batch: named,
      at: time,
      expected: limits,
      alive: limits,
      unexplained: limits,
      verdict,
    }),
  ),
  balance: balanceSheet.nullable(),
  timeline: z.array(happening),
  refused: z.array(refusedEntry),
});

const texts = z.record(z.string(), z.string());

/** An entry as it stands, with all that was said of it. */
export const standingEntry = z.object({
  id,
  version: z.number().int(),
  /** Text by field that can be said anew. */
  fields: texts,
  versions: z.array(z.object({ ...made.shape, why: z.string().nullable(), withdrawn: z.boolean(), fields: texts })),
});
