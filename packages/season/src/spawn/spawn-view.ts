import type { CrossFields, SpawnFields, SpawnResultFields, SpermCheckFields } from '@veligrid/model';
import { spermBand, type SpermBand } from '@veligrid/imaging';
import type { Parts, SeasonEntry } from '@veligrid/storage';
import { houseNames, type Names } from '../history/house-names.js';

interface Named {
  readonly id: string;
  readonly name: string;
}

/** A spawn in a list. */
export interface SpawnLine extends Named {
  readonly happenedAt: string;
  readonly species: string;
  /** Animals that are recorded in it, and those that gave eggs or sperm. */
  readonly animals: number;
  readonly spawned: number;
  readonly crosses: readonly Named[];
  readonly batches: readonly Named[];
}

/** What one animal did. */
export type ResultView = SeasonEntry<SpawnResultFields> & { readonly animal: string; readonly line: string };

/** Sperm seen on eggs, with the band it lies in. */
export type SpermCheckView = SeasonEntry<SpermCheckFields> & { readonly band: SpermBand };

/** A cross with its parents by tag. */
export type CrossView = Omit<SeasonEntry<CrossFields>, 'dams' | 'sires'> & {
  readonly dams: readonly Named[];
  readonly sires: readonly Named[];
  /** Sperm added for each egg; null when one of both was not counted. */
  readonly addedPerEgg: number | null;
  readonly spermChecks: readonly SpermCheckView[];
  /** Batches made of it, with its eggs in them. */
  readonly batches: readonly (Named & { readonly eggs: number })[];
};

/** A spawn with everything that came of it. */
export interface SpawnView {
  readonly spawn: SeasonEntry<SpawnFields>;
  readonly results: readonly ResultView[];
  readonly crosses: readonly CrossView[];
  readonly batches: readonly (Named & { readonly species: string; readonly spawnedAt: string | null })[];
}

const GAVE: readonly string[] = ['spawned', 'stripped'];

const unique = (list: readonly Named[]): Named[] => [...new Map(list.map((one) => [one.id, one])).values()];

/** All spawns, latest first. */
export async function spawnLines(parts: Parts): Promise<SpawnLine[]> {
  const names = await houseNames(parts);
  const [spawns, results, crosses, origins] = [
    await parts.spawns.list(),
    await parts.spawnResults.list(),
    await parts.crosses.list(),
    await parts.origins.list(),
  ];
  const lines = spawns.map(({ id, name, happenedAt, species }): SpawnLine => {
    const own = results.filter(({ spawnId }) => spawnId === id);
    const made = crosses.filter(({ spawnId }) => spawnId === id);
    const into = origins.filter(({ crossId }) => made.some((cross) => cross.id === crossId));
    return {
      ...{ id, name, happenedAt, species },
      animals: new Set(own.map(({ animalId }) => animalId)).size,
      spawned: new Set(own.filter(({ outcome }) => GAVE.includes(outcome)).map(({ animalId }) => animalId)).size,
      crosses: made.map((cross) => ({ id: cross.id, name: cross.name })),
      batches: unique(into.map(({ batchId }) => ({ id: batchId, name: names(batchId) ?? batchId }))),
    };
  });
  return lines.toReversed();
}

const named = (ids: readonly string[], names: Names): Named[] => ids.map((id) => ({ id, name: names(id) ?? id }));

const addedPerEgg = ({ eggs, sperm }: CrossFields): number | null =>
  eggs === null || eggs === 0 || sperm === null ? null : sperm / eggs;

async function crossViews(parts: Parts, spawnId: string, names: Names): Promise<CrossView[]> {
  const [crosses, checks, origins] = [
    await parts.crosses.list(),
    await parts.spermChecks.list(),
    await parts.origins.list(),
  ];
  return crosses
    .filter((cross) => cross.spawnId === spawnId)
    .map((cross) => ({
      ...cross,
      dams: named(cross.dams, names),
      sires: named(cross.sires, names),
      addedPerEgg: addedPerEgg(cross),
      spermChecks: checks
        .filter(({ crossId }) => crossId === cross.id)
        .map((check) => ({ ...check, band: spermBand(check.attachedPerEgg) })),
      batches: origins
        .filter(({ crossId }) => crossId === cross.id)
        .map(({ batchId, eggs }) => ({ id: batchId, name: names(batchId) ?? batchId, eggs })),
    }));
}

/** One spawn; null when there is none of this id. */
export async function spawnView(parts: Parts, id: string): Promise<SpawnView | null> {
  const spawn = await parts.spawns.get(id);
  if (spawn === null) return null;
  const [names, animals] = [await houseNames(parts), await parts.broodstock.list()];
  const results = (await parts.spawnResults.list()).filter(({ spawnId }) => spawnId === id);
  const crosses = await crossViews(parts, id, names);
  const into = new Set(crosses.flatMap(({ batches }) => batches.map((batch) => batch.id)));
  const batches = (await parts.batches.list()).filter((batch) => batch.active && into.has(batch.id));
  return {
    spawn,
    results: results.map((result) => ({
      ...result,
      animal: names(result.animalId) ?? result.animalId,
      line: animals.find((one) => one.id === result.animalId)?.line ?? '',
    })),
    crosses,
    batches: batches.map(({ id: batchId, name, species, spawnedAt }) => ({ id: batchId, name, species, spawnedAt })),
  };
}
