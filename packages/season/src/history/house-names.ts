import type { Parts } from '@veligrid/storage';

/** A thing of the house with its name. */
export interface Named {
  readonly id: string;
  readonly name: string;
}

/** Names of everything that entries name by id. */
export type Names = (id: string | null) => string | null;

/** A thing with its name; null for none. */
export const named = (names: Names, id: string | null): Named | null =>
  id === null ? null : { id, name: names(id) ?? '' };

/** Reads the names of tanks, batches, animals, cultures, spawns, crosses and samples. */
export async function houseNames(parts: Parts): Promise<Names> {
  const lists = [
    await parts.tanks.list(),
    await parts.batches.list(),
    await parts.broodstock.list(),
    await parts.cultures.list(),
    await parts.spawns.list(),
    await parts.crosses.list(),
    await parts.samples.list(),
  ];
  const names = new Map(lists.flatMap((list) => list.map(({ id, name }) => [id, name] as const)));
  return (id) => (id === null ? null : (names.get(id) ?? id));
}
