/**
 * What staff record of a season, from the animals that spawn to the spat on the shell. Times are ISO 8601 in UTC; ids are
 * those that the store gave.
 */

/** Sex of a broodstock animal, as far as it is known. */
export const SEXES = ['female', 'male', 'both', 'unknown'] as const;
export type Sex = (typeof SEXES)[number];

/** An animal that is kept to spawn. */
export interface AnimalFields {
  /** Its tag; text, also when it looks like a number. */
  readonly name: string;
  readonly species: string;
  /** Family or line it belongs to, or empty. */
  readonly line: string;
  /** Where it came from, or empty. */
  readonly origin: string;
  /** Traits that it or its line was selected for, or empty. */
  readonly selectedFor: string;
  readonly sex: Sex;
  readonly note: string;
  readonly active: boolean;
}

/** Parents of an animal, by their tags: these may be animals that were never kept here. */
export interface ParentageFields {
  readonly animalId: string;
  /** When it was said. */
  readonly happenedAt: string;
  /** Tag of its mother, or empty. */
  readonly dam: string;
  /** Tag of its father, or empty. */
  readonly sire: string;
  readonly note: string;
}

/** Animals brought to spawn together. */
export interface SpawnFields {
  readonly name: string;
  readonly species: string;
  /** When the cue was given. */
  readonly happenedAt: string;
  readonly endedAt: string | null;
  /** Water that the animals were kept in, and the water they were brought to, degrees Celsius. */
  readonly ambientC: number | null;
  readonly raisedC: number | null;
  /** What made them spawn, in words. */
  readonly cue: string;
  readonly note: string;
}

/** What one animal did in a spawn. */
export const SPAWN_OUTCOMES = ['spawned', 'stripped', 'did-not-spawn', 'left-out'] as const;
export type SpawnOutcome = (typeof SPAWN_OUTCOMES)[number];

/** One animal in a spawn. */
export interface SpawnResultFields {
  readonly spawnId: string;
  readonly animalId: string;
  readonly happenedAt: string;
  readonly outcome: SpawnOutcome;
  /** As seen by what it released. */
  readonly sex: Sex;
  /** Millilitres of eggs in water, or of sperm. */
  readonly gameteMl: number | null;
  /** Eggs or sperm counted in it. */
  readonly gametes: number | null;
  readonly note: string;
}

/** Eggs fertilised together. */
export interface CrossFields {
  readonly spawnId: string;
  readonly name: string;
  /** When eggs and sperm met. */
  readonly happenedAt: string;
  /** Ids of the animals that gave eggs, and of those that gave sperm. */
  readonly dams: readonly string[];
  readonly sires: readonly string[];
  /** Sperm of several males was mixed before: their shares are not known. */
  readonly pooledSperm: boolean;
  readonly eggs: number | null;
  readonly sperm: number | null;
  readonly note: string;
}

/** Sperm seen on the eggs of a cross, under the microscope. */
export interface SpermCheckFields {
  readonly crossId: string;
  readonly happenedAt: string;
  /** Attached to an egg, on average; 0 or more. */
  readonly attachedPerEgg: number;
  /** Eggs looked at; null when not noted. */
  readonly eggs: number | null;
  readonly note: string;
}

/** A cross as part of a batch. */
export interface OriginFields {
  readonly batchId: string;
  readonly crossId: string;
  readonly happenedAt: string;
  /** Eggs or embryos of the cross that went into the batch. */
  readonly eggs: number;
  readonly note: string;
}

/**
 * What was done with animals: `stock` from outside into a tank; `split` a part into another tank; `merge` into a tank that
 * holds another batch; `drop` all into the same or another tank; out for good by `cull`, `sample`, `ship`, `set`,
 * `discard`; `return` pours what was left of a live sample back.
 */
export const MOVE_KINDS = [
  'stock',
  'split',
  'merge',
  'drop',
  'cull',
  'sample',
  'return',
  'ship',
  'set',
  'discard',
] as const;
export type MoveKind = (typeof MOVE_KINDS)[number];

/** Animals that came, went, or changed tanks. */
export interface MoveFields {
  readonly kind: MoveKind;
  readonly happenedAt: string;
  /** Batch they belong to before. */
  readonly batchId: string;
  /** Null for stocking and returning. */
  readonly fromTankId: string | null;
  /** Null for what leaves for good. */
  readonly toTankId: string | null;
  /** Batch that everything in the tank they come to is afterwards; null when it stays the same. */
  readonly intoBatchId: string | null;
  /** Animals, 0 or more. */
  readonly number: number;
  /** 95 % limits of the number; both null when it is taken as exact. */
  readonly low: number | null;
  readonly high: number | null;
  /** Nothing is left in the tank they came from. */
  readonly emptied: boolean;
  /** Sample whose count the number rests on; for `sample` and `return` the sample itself. */
  readonly sampleId: string | null;
  /** Aperture of the screen they were caught on or fell through, micrometres. */
  readonly screenUm: number | null;
  /** Where they went or why they were taken, in words, or empty. */
  readonly place: string;
  readonly note: string;
}

/** A culture of algae. */
export interface CultureFields {
  readonly name: string;
  /** Alga, for example `Tisochrysis lutea`. */
  readonly species: string;
  readonly note: string;
  readonly active: boolean;
}

/** Cells counted on a slide. */
export interface CellTally {
  readonly cells: number;
  /** Millilitres looked at on the slide. */
  readonly volumeMl: number;
  /** Dilutions in order, as volumes. */
  readonly steps: readonly { readonly takenMl: number; readonly madeUpToMl: number }[];
}

/** What a culture was on a day. */
export interface CultureReadingFields {
  readonly cultureId: string;
  readonly happenedAt: string;
  readonly litres: number | null;
  readonly cellsPerMl: number;
  /** The count it rests on; null when it was measured another way. */
  readonly tally: CellTally | null;
  readonly note: string;
}

/** Algae given to a tank. */
export interface RationFields {
  readonly tankId: string;
  readonly cultureId: string;
  readonly happenedAt: string;
  readonly litres: number;
  /** Density of the culture when it was given; null when not known. */
  readonly cellsPerMl: number | null;
  readonly note: string;
}

/** What the water of a tank was; of the whole house without a tank. */
export interface WaterNoteFields {
  readonly tankId: string | null;
  readonly happenedAt: string;
  readonly temperatureC: number | null;
  /** Parts per thousand. */
  readonly salinityPpt: number | null;
  readonly ph: number | null;
  /** Dissolved oxygen, milligrams a litre. */
  readonly oxygenMgL: number | null;
  readonly note: string;
}

/** Larvae put to set. */
export interface SettingEventFields {
  readonly batchId: string;
  /** The move that took them out of their tank; null when they came another way. */
  readonly moveId: string | null;
  readonly happenedAt: string;
  readonly larvae: number;
  /** What they set on, in words, for example `whole shell` or `microcultch`. */
  readonly cultch: string;
  /** Pieces of cultch, and bags they lie in; null when not counted. */
  readonly shells: number | null;
  readonly bags: number | null;
  readonly note: string;
}

/** Spat counted on some of the shells of a setting. */
export interface SpatCountFields {
  readonly settingId: string;
  readonly happenedAt: string;
  readonly shells: number;
  readonly spat: number;
  readonly note: string;
}
