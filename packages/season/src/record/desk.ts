import {
  VeligridError,
  type AnimalFields,
  type CrossFields,
  type CultureFields,
  type SpawnFields,
} from '@veligrid/model';
import { seasonLedger, type Recorded, type SeasonLedger } from '@veligrid/hatchery';
import type { BatchFields, Kept, Parts, SampleFields, SeasonEntry, Store, TankFields } from '@veligrid/storage';
import { recordedOf } from './recorded.js';

/** Where entries are kept, and who keeps them. */
export interface Desk {
  /** The store itself; within a transaction it works in that one. */
  readonly store: Store;
  readonly parts: Parts;
  /** Who says it. */
  readonly by: string;
  /** The time now, for what has no time of its own. */
  readonly now: () => string;
}

interface Named {
  readonly id: string;
  readonly name: string;
  readonly active?: boolean;
}

/** What can be named, with what is found. */
export interface NamedThings {
  readonly tank: Kept<TankFields>;
  readonly batch: Kept<BatchFields>;
  readonly animal: Kept<AnimalFields>;
  readonly culture: Kept<CultureFields>;
  readonly spawn: SeasonEntry<SpawnFields>;
  readonly cross: SeasonEntry<CrossFields>;
  readonly sample: Kept<SampleFields>;
}

const LISTS: { readonly [W in keyof NamedThings]: (parts: Parts) => Promise<readonly NamedThings[W][]> } = {
  tank: (parts) => parts.tanks.list(),
  batch: (parts) => parts.batches.list(),
  animal: (parts) => parts.broodstock.list(),
  culture: (parts) => parts.cultures.list(),
  spawn: (parts) => parts.spawns.list(),
  cross: (parts) => parts.crosses.list(),
  sample: (parts) => parts.samples.list(),
};

const same = (one: string, other: string): boolean => one.toLowerCase() === other.toLowerCase();

/**
 * Finds what is named, by its name in any case of letters, or by its id.
 *
 * @throws VeligridError `bad-argument` when there is none, or there are several
 */
export async function find<W extends keyof NamedThings>(
  { parts }: Pick<Desk, 'parts'>,
  what: W,
  name: string,
): Promise<NamedThings[W]> {
  const all: readonly (NamedThings[W] & Named)[] = await LISTS[what](parts);
  const there = all.filter(({ active = true }) => active);
  const found = there.filter((one) => same(one.name, name) || one.id === name);
  const [only] = found;
  if (only !== undefined && found.length === 1) return only;
  if (found.length > 1) {
    const ids = found.map(({ id }) => id).join(', ');
    throw new VeligridError(
      'bad-argument',
      `There are ${found.length} ${what}s called "${name}". Name one by its id: ${ids}.`,
    );
  }
  const names = there.slice(-10).map((one) => one.name);
  const hint = names.length === 0 ? `Add one first.` : `There are: ${names.join(', ')}.`;
  throw new VeligridError('bad-argument', `There is no ${what} "${name}". ${hint}`);
}

/** @throws VeligridError `bad-argument` when there is one of this name already */
export async function checkNewName({ parts }: Desk, what: keyof NamedThings, name: string): Promise<void> {
  const all: readonly Named[] = await LISTS[what](parts);
  if (!all.some((one) => (one.active ?? true) && same(one.name, name))) return;
  const article = what === 'animal' ? 'an' : 'a';
  throw new VeligridError('bad-argument', `There is ${article} ${what} "${name}" already. Take another name.`);
}

/** What is recorded of moves and counts, and the ledger of it. */
export async function ledgerOf({
  parts,
}: Desk): Promise<{ readonly recorded: Recorded; readonly ledger: SeasonLedger }> {
  const recorded = await recordedOf(parts);
  return { recorded, ledger: seasonLedger(recorded) };
}

/** An entry of any kind as commands answer it. */
export type Answered = Kept<object> | SeasonEntry<object>;
