import { z } from 'zod';
import { cultureMorning, day, lastLength, named, zone } from './morning.js';
import { id, limits, time, warning } from './parts.js';

const given = z.object({ id, version: z.number().int(), at: time, by: z.string(), litres: z.number() });

const dose = z.object({
  culture: named,
  /** What the sheet hands out; null when it was given without the sheet asking for it. */
  litres: z.number().nullable(),
  /** What the tank asks for, which may be more than there is. */
  askedLitres: z.number().nullable(),
  given: z.array(given),
});

const left = z.object({ cellsPerMl: z.number(), by: z.string(), at: time });

const feedTank = z.object({
  tank: named,
  batch: named,
  ageDays: z.number().nullable(),
  volumeMl: z.number(),
  present: limits,
  length: lastLength.nullable(),
  stage: z.string(),
  /** Cells that were left before feeding, when somebody counted them. */
  left: left.nullable(),
  /** Cells per mL as T-Iso cells. */
  targetCellsPerMl: z.number(),
  reachedCellsPerMl: limits,
  partOfTarget: z.number(),
  cellsPerLarvaPerDay: limits.nullable(),
  doses: z.array(dose),
});

const feedCulture = cultureMorning.extend({
  /** In it at the beginning of the round; null when not known. */
  litres: z.number().nullable(),
  askedLitres: z.number(),
  handedLitres: z.number(),
  /** Names of tanks that got less than they asked for. */
  runShort: z.array(z.string()),
  leftOut: z.enum(['no-reading', 'no-litres', 'unknown-alga']).nullable(),
});

/** A figure of the trade that was used, with its source. */
const usedFigure = z.object({
  name: z.string(),
  value: z.union([z.number(), z.array(z.number()), z.array(z.tuple([z.number(), z.number()]))]),
  unit: z.string(),
  source: z.string(),
  confidence: z.string(),
  preset: z.string(),
  version: z.string(),
});

/** What every tank is fed on a day, with what was given already. */
export const feedDay = z.object({
  day,
  zone,
  today: z.boolean(),
  tanks: z.array(feedTank),
  notFed: z.array(
    z.object({ tank: named, why: z.enum(['too-young', 'no-volume', 'no-stage', 'no-figure', 'no-culture']) }),
  ),
  cultures: z.array(feedCulture),
  warnings: z.array(warning),
  figures: z.array(usedFigure),
});

/** A dose of the sheet that was given. */
export const feedTick = z.strictObject({
  day,
  zone: zone.optional(),
  tank: id,
  culture: id,
  /** Litres, above 0. */
  litres: z.number().min(1e-6).max(1e6),
});

/** The ration that stands for it; `before` when it had been ticked off already. */
export const ticked = z.object({ id, before: z.boolean() });

/** Cells counted in a tank before it is fed, as T-Iso cells per mL; null takes the note away. */
export const leftNoted = z.strictObject({ day, tank: id, cellsPerMl: z.number().min(0).max(1e12).nullable() });
