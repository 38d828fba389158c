import type { AnimalFields } from '@veligrid/model';
import type { Parts } from '@veligrid/storage';

/** An animal that is kept to spawn, with its parents and what it did. */
export interface AnimalView extends Omit<AnimalFields, 'active'> {
  readonly id: string;
  readonly addedBy: string;
  readonly addedAt: string;
  /** Tags of its parents, empty when not known, and the entry that says so; null when nothing is recorded. */
  readonly parents: {
    readonly id: string;
    readonly version: number;
    readonly dam: string;
    readonly sire: string;
  } | null;
  /** Spawns in which it gave eggs or sperm. */
  readonly spawned: readonly { readonly id: string; readonly name: string }[];
}

/** All animals that are kept, in the order of their tags. */
export async function animalsView(parts: Parts): Promise<AnimalView[]> {
  const [animals, parents, spawns, results] = [
    await parts.broodstock.list(),
    await parts.parents.list(),
    await parts.spawns.list(),
    await parts.spawnResults.list(),
  ];
  const kept = animals.filter(({ active }) => active);
  const views = kept.map((animal): AnimalView => {
    const { id, name, species, line, origin, selectedFor, sex, note, addedBy, addedAt } = animal;
    const own = parents.find(({ animalId }) => animalId === id) ?? null;
    const gave = results.filter(
      ({ animalId, outcome }) => animalId === id && (outcome === 'spawned' || outcome === 'stripped'),
    );
    const spawned = spawns.filter((spawn) => gave.some(({ spawnId }) => spawnId === spawn.id));
    return {
      ...{ id, name, species, line, origin, selectedFor, sex, note, addedBy, addedAt },
      parents: own === null ? null : { id: own.id, version: own.version, dam: own.dam, sire: own.sire },
      spawned: spawned.map((one) => ({ id: one.id, name: one.name })),
    };
  });
  return views.toSorted((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }));
}
