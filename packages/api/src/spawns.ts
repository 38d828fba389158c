import { SEXES, SPAWN_OUTCOMES } from '@veligrid/model';
import { z } from 'zod';
import { id, limits, time, warning } from './parts.js';

const named = z.object({ id, name: z.string() });

/** Who said an entry as it stands, when, and which version of it that is. */
const said = { id, version: z.number().int(), by: z.string(), at: time };

/** An animal that is kept to spawn. */
export const animal = z.object({
  id,
  /** Its tag. */
  name: z.string(),
  species: z.string(),
  line: z.string(),
  origin: z.string(),
  selectedFor: z.string(),
  sex: z.enum(SEXES),
  note: z.string(),
  addedBy: z.string(),
  addedAt: time,
  /** Tags of its parents, empty when not known; null when nothing is recorded. */
  parents: z.object({ id, version: z.number().int(), dam: z.string(), sire: z.string() }).nullable(),
  spawned: z.array(named),
});

/** A spawn in a list. */
export const spawnLine = z.object({
  id,
  name: z.string(),
  happenedAt: time,
  species: z.string(),
  animals: z.number().int(),
  spawned: z.number().int(),
  crosses: z.array(named),
  batches: z.array(named),
});

const spawnEntry = z.object({
  ...said,
  name: z.string(),
  species: z.string(),
  happenedAt: time,
  endedAt: time.nullable(),
  ambientC: z.number().nullable(),
  raisedC: z.number().nullable(),
  cue: z.string(),
  note: z.string(),
});

const spawnResult = z.object({
  ...said,
  animalId: id,
  animal: z.string(),
  line: z.string(),
  happenedAt: time,
  outcome: z.enum(SPAWN_OUTCOMES),
  sex: z.enum(SEXES),
  gameteMl: z.number().nullable(),
  gametes: z.number().nullable(),
  note: z.string(),
});

const spermCheck = z.object({
  ...said,
  happenedAt: time,
  attachedPerEgg: z.number(),
  eggs: z.number().int().nullable(),
  /** Lyu and Allen 1999: 2 to 5 advised, no harm up to 10, above it more than 10 % deformed. */
  band: z.enum(['below', 'advised', 'above', 'polyspermy']),
  note: z.string(),
});

const cross = z.object({
  ...said,
  name: z.string(),
  happenedAt: time,
  dams: z.array(named),
  sires: z.array(named),
  pooledSperm: z.boolean(),
  eggs: z.number().nullable(),
  sperm: z.number().nullable(),
  addedPerEgg: z.number().nullable(),
  spermChecks: z.array(spermCheck),
  batches: z.array(named.extend({ eggs: z.number() })),
  note: z.string(),
});

/** A count of eggs of a batch of the spawn. */
const fertilisation = z.object({
  sample: id,
  tankName: z.string(),
  batchName: z.string().nullable(),
  takenAt: time,
  /** Since eggs and sperm met; null when not known. */
  minutes: z.number().nullable(),
  state: z.enum(['open', 'signed-off']),
  /** Null until it is signed off. */
  answer: z
    .object({
      scored: z.number().int(),
      fertilised: z.number().int(),
      share: limits.nullable(),
      atLeast: z.boolean(),
      target: z.number(),
      signedOffBy: z.string(),
      warnings: z.array(warning),
    })
    .nullable(),
});

/** A spawn with everything that came of it. */
export const spawn = z.object({
  spawn: spawnEntry,
  results: z.array(spawnResult),
  crosses: z.array(cross),
  batches: z.array(named.extend({ species: z.string(), spawnedAt: time.nullable() })),
  fertilisation: z.array(fertilisation),
});

/** A cross that is thought of, by ids of animals. */
export const crossAsked = z.strictObject({
  dams: z.array(id).min(1).max(200),
  sires: z.array(id).min(1).max(200),
  pooledSperm: z.boolean().default(false),
});

const equalGametes = z.object({
  by: z.enum(['number', 'volume']),
  notCounted: z.array(z.string()),
  parts: z.array(z.object({ animal: z.string(), ml: z.number(), leftMl: z.number(), number: z.number().nullable() })),
  totalMl: z.number(),
  total: z.number().nullable(),
});

const effective = z.object({ number: z.number(), effective: z.number() });

/** What the cross would be worth. */
export const crossJudged = z.object({
  sires: effective,
  dams: effective,
  /** Effective number of breeders, 4 Nm Nf/(Nm + Nf), with the shares as far as they are known. */
  effective: z.number(),
  sharesKnown: z.boolean(),
  inbreedingPerGeneration: z.number(),
  /** Each pair with the kinship of its parents; null when no parents are recorded at all. */
  pairs: z.array(z.object({ dam: z.string(), sire: z.string(), kinship: z.number().nullable(), tried: z.boolean() })),
  /** Kinship from which a pair is called related. */
  kinshipLimit: z.number().nullable(),
  /** Tags of animals whose parents are not recorded: taken as unrelated. */
  parentsUnknown: z.array(z.string()),
  eggs: equalGametes.nullable(),
  sperm: equalGametes.nullable(),
  pool: z.array(z.object({ animal: z.string(), ml: z.number() })).nullable(),
  warnings: z.array(warning),
});

const settingLine = z.object({
  ...said,
  batchId: id,
  batchName: z.string(),
  moveId: id.nullable(),
  happenedAt: time,
  larvae: z.number(),
  limits,
  cultch: z.string(),
  shells: z.number().nullable(),
  bags: z.number().nullable(),
  note: z.string(),
  spatCounts: z.array(
    z.object({ ...said, happenedAt: time, shells: z.number().int(), spat: z.number().int(), note: z.string() }),
  ),
  /** Spat on all shells by the last count; null when it can't be told. */
  spat: limits.nullable(),
  /** Spat over larvae put to set. */
  efficiency: limits.nullable(),
});

/** Everything about setting and shipping a batch. */
export const settingOfBatch = z.object({
  batch: named.extend({ species: z.string() }),
  tanks: z.array(
    z.object({
      tank: named,
      present: limits,
      lastCount: z
        .object({
          sample: id,
          takenAt: time,
          signedOffBy: z.string(),
          eyed: limits.nullable(),
          mostWere: z.string().nullable(),
        })
        .nullable(),
    }),
  ),
  available: limits.nullable(),
  settings: z.array(settingLine),
  shipped: z.array(
    z.object({
      ...said,
      happenedAt: time,
      number: z.number(),
      low: z.number().nullable(),
      high: z.number().nullable(),
      place: z.string(),
      fromName: z.string().nullable(),
      note: z.string(),
    }),
  ),
  /** Sets of the house and this species whose efficiency is known; the next plan can go by them. */
  ownSets: z.array(settingLine),
});
