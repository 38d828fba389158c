import { find, type Desk } from '../record/desk.js';
import { balanceRows } from './balance-view.js';
import { fromBroodstock } from './from-broodstock.js';
import type { Happening } from './happening.js';
import { counted, fed, moved, watered, type Asked } from './in-tanks.js';
import { lineageOf } from './lineage.js';
import { originView } from './origin-view.js';
import { photosBySample, type NamedPhoto } from './photos-by-sample.js';
import { planned } from './planned.js';
import { overviewsOf, readSeason, type Season } from './read-season.js';
import { set } from './set.js';
import type { Row } from './view.js';

/** A happening as commands show it: with the names of things, and the photos it rests on. */
export interface NamedHappening {
  readonly at: string;
  readonly what: string;
  readonly batch: string | null;
  readonly tank: string | null;
  readonly animals: Happening['animals'];
  readonly text: string;
  readonly by: string;
  /** Photos by name, and the picture's SHA-256; empty for all but samples. */
  readonly photos: readonly NamedPhoto[];
  readonly entries: Happening['entries'];
}

/** The whole of a batch, from broodstock to now. */
export interface History {
  readonly batch: string;
  readonly species: string;
  readonly spawnedAt: string | null;
  /** Effective number of breeders, by the shares of dams and sires; null when no parent is recorded. */
  readonly effectiveBreeders: number | null;
  /** What it is made of: batches, crosses, dams and sires with their shares in per cent. */
  readonly origin: readonly Row[];
  /** Ledger up to the last counts. */
  readonly balance: readonly Row[];
  readonly history: readonly NamedHappening[];
  /** Moves and counts that can't have happened as they are said. */
  readonly refused: readonly { readonly id: string; readonly why: string }[];
}

/** Happenings by time; those of one time as given. */
export const byTime = (happenings: readonly Happening[]): Happening[] =>
  happenings.toSorted((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));

/** All that happened to a batch and to those it comes from, by time. */
export async function happeningsOf(desk: Desk, season: Season, batchId: string): Promise<Happening[]> {
  const { ledger, moves, names } = season;
  const lineage = lineageOf(ledger.stays, batchId);
  const asked: Asked = {
    isMeant: (id, _tankId, at) => id !== null && (lineage.get(id) ?? '') >= at,
    stays: ledger.stays,
    names,
  };
  return byTime([
    ...(await fromBroodstock(desk, [...lineage.keys()], names)),
    ...moved(moves, asked),
    ...counted(await overviewsOf(desk.parts, season, new Set(lineage.keys())), asked),
    ...(await fed(desk, asked)),
    ...(await watered(desk, asked)),
    ...(await set(desk, asked)),
    ...planned(await desk.parts.plans.list(), asked),
  ]);
}

/** Puts together all that is recorded of a batch and of those it comes from. */
export async function historyOf(desk: Desk, name: string): Promise<History> {
  const { id, name: batch, species, spawnedAt } = await find(desk, 'batch', name);
  const season = await readSeason(desk.parts);
  const { ledger, names } = season;
  const own = ledger.stays.filter(({ batchId }) => batchId === id);
  const photos = await photosBySample(desk.parts);
  const history = (await happeningsOf(desk, season, id)).map(
    ({ at, what, batch: of, tank, animals, text, by, entries }): NamedHappening => ({
      at,
      what,
      batch: of?.name ?? null,
      tank: tank?.name ?? null,
      animals,
      text,
      by,
      photos: entries.flatMap(({ kind, id: sampleId }) => (kind === 'sample' ? (photos.get(sampleId) ?? []) : [])),
      entries,
    }),
  );
  const origin = await originView(desk, id, names, ledger.stays);
  const balance = own.length === 0 ? [] : balanceRows(own);
  return { batch, species, spawnedAt, ...origin, balance, history, refused: ledger.refused };
}
