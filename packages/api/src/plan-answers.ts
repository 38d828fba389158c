import { z } from 'zod';
import { limits, warning } from './parts.js';

/** One figure of the trade as a plan took it, with where it comes from. */
export const figure = z.object({
  name: z.string(),
  /** One number, a list of numbers, or points by rising first number. */
  value: z.union([z.number(), z.array(z.number()), z.array(z.tuple([z.number(), z.number()]))]),
  unit: z.string(),
  about: z.string().optional(),
  source: z.string(),
  confidence: z.string(),
  preset: z.string(),
  version: z.string(),
});

const common = {
  level: z.number(),
  species: z.string(),
  figures: z.array(figure),
  warnings: z.array(warning),
  cautions: z.array(z.object({ code: z.string(), message: z.string(), source: z.string() })),
};

const eggPool = z.object({
  ...common,
  kind: z.literal('egg-pool'),
  counted: z.string(),
  poolPerMl: limits,
  pool: z.object({ eggs: limits, takenMl: z.number(), leftMl: z.number() }),
  tanks: z.array(
    z.object({ name: z.string(), perMl: z.number(), eggs: z.number(), pourMl: limits, reachedPerMl: limits }),
  ),
});

const stocking = z.object({
  ...common,
  kind: z.literal('stocking'),
  stage: z.string(),
  perMl: z.number(),
  tanks: z.array(
    z.object({ name: z.string(), holds: z.number(), larvae: limits, densityPerMl: limits, takeOut: limits }),
  ),
  larvae: limits,
  holds: z.number(),
  surplus: limits,
  neededMl: limits,
  taper: z.array(z.object({ stage: z.string(), perMl: z.number(), holds: z.number() })),
});

const survival = z.object({
  ...common,
  kind: z.literal('survival'),
  intervals: z.array(
    z.object({
      fromDay: z.number(),
      toDay: z.number(),
      survival: limits,
      survivalPerDay: limits,
      unexplained: limits,
      noMeasurableLoss: z.boolean(),
    }),
  ),
  usual: z.object({ low: z.number(), high: z.number() }).nullable(),
  yields: z.array(z.object({ denominator: z.string(), share: limits })),
});

const growth = z.object({
  ...common,
  kind: z.literal('growth'),
  days: z.array(
    z.object({
      day: z.number(),
      meanLengthUm: limits,
      slowUm: z.number().nullable(),
      fastUm: z.number().nullable(),
      place: z.enum(['below', 'within', 'above', 'no band']),
    }),
  ),
  temperatureC: z.number(),
  temperatureNote: z.string().nullable(),
  sinceLast: z.object({ days: z.number(), umPerDay: limits }).nullable(),
  ownPast: z.object({ expectedUm: limits, umPerDay: z.number(), place: z.string() }).nullable(),
});

const screening = z.object({
  ...common,
  kind: z.literal('screening'),
  keepShare: z.number().nullable(),
  screens: z.array(
    z.object({
      apertureUm: z.number(),
      kept: limits,
      basis: z.string(),
      keptNumber: limits.nullable(),
      lostNumber: limits.nullable(),
      meanKeptUm: z.number().nullable(),
      meanPassedUm: z.number().nullable(),
    }),
  ),
  chosenUm: z.number().nullable(),
});

const ration = z.object({
  ...common,
  kind: z.literal('ration'),
  tank: z
    .object({
      stage: z.string(),
      targetCellsPerMl: z.number(),
      setBy: z.string(),
      cellsPerLarvaPerDay: limits,
      presetPerLarvaPerDay: z.number().nullable(),
      leftCellsPerMl: z.number(),
      doses: z.array(z.object({ name: z.string(), alga: z.string(), ml: limits, cells: z.number() })),
      totalMl: z.number(),
    })
    .nullable(),
});

const readiness = z.object({
  ...common,
  kind: z.literal('readiness'),
  settingLengthUm: z.number(),
  shareAbove: z.number(),
  targetMeanUm: z.number(),
  window: z.object({ earliestDay: z.number(), latestDay: z.number() }).nullable(),
  band: z.object({ fastDay: z.number().nullable(), slowDay: z.number().nullable(), temperatureC: z.number() }),
  eyed: z.object({ share: limits, number: limits.nullable() }).nullable(),
  aboveNow: limits.nullable(),
});

const setting = z.object({
  ...common,
  kind: z.literal('setting'),
  efficiency: z.object({ share: limits, basis: z.string() }),
  targetPerShell: z.number(),
  cultch: z.object({ shells: z.number(), bags: z.number(), bushels: z.number() }).nullable(),
  needed: z.object({ larvae: limits, perShell: limits, perBag: limits }).nullable(),
  expected: z
    .object({
      spat: limits,
      spatPerShell: limits.nullable(),
      serves: z.object({ shells: limits, bags: limits, bushels: limits }),
    })
    .nullable(),
  microcultch: z
    .object({
      grains: z.number(),
      spatPerGrain: limits,
      doubles: limits,
      singles: limits,
      gramsForMostDoubles: z.number(),
    })
    .nullable(),
});

const packing = z.object({
  ...common,
  kind: z.literal('packing'),
  by: z.string(),
  unit: z.string(),
  larvaePerUnit: limits,
  perPackage: z.number(),
  larvaePerPackage: limits,
  perPackageForSure: z.number(),
  packages: limits,
  left: limits,
});

const pairing = z.object({ sire: z.string(), dam: z.string(), kinship: z.number().nullable(), tried: z.boolean() });

const breeders = z.object({
  ...common,
  kind: z.literal('breeders'),
  sires: z.object({ number: z.number(), effective: z.number() }),
  dams: z.object({ number: z.number(), effective: z.number() }),
  effective: z.number(),
  asIfEqual: z.number(),
  inbreedingPerGeneration: z.number(),
  pairings: z.number(),
  untried: z.array(pairing).nullable(),
});

const feedSheet = z.object({ ...common, kind: z.literal('feed-sheet') });

/** An answer of any kind: the fields that people are shown. docs/plan-result.schema.json has all. */
export const planAnswer = z.discriminatedUnion('kind', [
  eggPool,
  stocking,
  survival,
  growth,
  screening,
  ration,
  feedSheet,
  readiness,
  setting,
  packing,
  breeders,
]);
