import { z } from 'zod';
import { id, limits, time } from './parts.js';

/** A thing of the house with its name. */
export const named = z.object({ id, name: z.string() });

/** A day of the house, such as `2026-05-06`. */
export const day = z.iso.date();

/** IANA zone that the day is meant in, such as `America/New_York`. */
export const zone = z.string().min(1).max(64);

/** Which day; today when left out, or the last day of a demo. */
export const dayAsked = z.strictObject({ day: day.optional(), zone: zone.optional() });

const due = z.object({
  what: z.enum(['drop', 'count', 'feed']),
  state: z.enum(['due', 'done', 'later']),
  /** When it was done last, or when the larvae came; null when never. */
  last: time.nullable(),
  /** Day that it is, or was, to be done. */
  next: day,
});

const flag = z.object({
  code: z.enum([
    'more-than-came-in',
    'heavy-loss',
    'loss',
    'not-signed-off',
    'below-band',
    'ready-to-set',
    'no-volume',
    'no-batch-age',
  ]),
  tone: z.enum(['bad', 'look']),
  /** Numbers that the words name. */
  numbers: z.record(z.string(), z.number()),
  /** Sample that it rests on. */
  sampleId: id.nullable(),
});

/** Mean length at the last sample that was measured. */
export const lastLength = z.object({ sample: named, at: time, mean: limits });

const tankLine = z.object({
  tank: named,
  volumeMl: z.number().nullable(),
  batch: named,
  species: z.string(),
  since: time,
  /** Days after fertilisation. */
  ageDays: z.number().nullable(),
  /** In the tank if none died since the last count. */
  present: limits,
  lastCount: z
    .object({
      sample: named,
      at: time,
      alive: limits,
      /** Larvae per mL of the tank; null when its volume is not known. */
      perMl: limits.nullable(),
      stage: z.string().nullable(),
    })
    .nullable(),
  length: lastLength.nullable(),
  survival: z
    .object({
      sample: named,
      /** Since the count before, or since the larvae came into the tank. */
      since: z.enum(['count', 'beginning']),
      days: z.number(),
      /** 0..1. */
      part: limits,
    })
    .nullable(),
  due: z.array(due),
  flags: z.array(flag),
});

/** A culture with its last reading. */
export const cultureMorning = z.object({
  culture: named,
  alga: z.string(),
  reading: z.object({ id, at: time, cellsPerMl: z.number(), litres: z.number().nullable() }).nullable(),
  /** Older than a day, or none at all. */
  old: z.boolean(),
});

/** What the house is on a day, as recorded up to its end. */
export const morning = z.object({
  day,
  zone,
  /** Whether it is the day that the server's clock shows in that zone. */
  today: z.boolean(),
  rhythm: z.object({
    dropDays: z.number().int(),
    countDays: z.number().int(),
    feedDays: z.number().int(),
    feedFromDay: z.number().int(),
  }),
  tanks: z.array(tankLine),
  empty: z.array(named),
  batches: z.array(
    z.object({
      batch: named,
      species: z.string(),
      ageDays: z.number().nullable(),
      tanks: z.number().int(),
      present: limits,
      /** Part of those stocked that came through to the last counts, 0..1. */
      survival: limits.nullable(),
      flagged: z.number().int(),
    }),
  ),
  cultures: z.array(cultureMorning),
  /** Moves and counts that can't have happened as they are said; they are in no number. */
  refused: z.array(z.object({ id, why: z.string() })),
});
