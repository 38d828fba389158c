import type { PedigreeAnimal } from '@veligrid/hatchery';
import type { Parts } from '@veligrid/storage';

/** Parents of all animals as far as recorded, by tag. */
export interface HousePedigree {
  readonly pedigree: readonly PedigreeAnimal[];
  /** Tags of animals with a parent that is recorded. */
  readonly withParents: ReadonlySet<string>;
}

/** The pedigree of the house. A tag written in another case of letters is the same animal. */
export async function housePedigree(parts: Pick<Parts, 'broodstock' | 'parents'>): Promise<HousePedigree> {
  const [animals, parents] = [await parts.broodstock.list(), await parts.parents.list()];
  const tags = new Map(animals.map(({ name }) => [name.toLowerCase(), name]));
  const byId = new Map(animals.map(({ id, name }) => [id, name]));
  const tagOf = (said: string): string => {
    const known = tags.get(said.toLowerCase()) ?? said;
    tags.set(said.toLowerCase(), known);
    return known;
  };
  const pedigree = parents.flatMap(({ animalId, dam, sire }): PedigreeAnimal[] => {
    const animal = byId.get(animalId);
    if (animal === undefined) return [];
    return [{ animal, ...(dam === '' ? {} : { dam: tagOf(dam) }), ...(sire === '' ? {} : { sire: tagOf(sire) }) }];
  });
  return { pedigree, withParents: new Set(pedigree.map(({ animal }) => animal)) };
}
