import { seasonLedger, type FigureBook, type SeasonLedger, type Stay } from '@veligrid/hatchery';
import type { MoveFields, RationFields, WaterNoteFields } from '@veligrid/model';
import type { BatchFields, Kept, Parts, SeasonEntry, StandingSample, TankFields } from '@veligrid/storage';
import type { Names } from '../history/house-names.js';
import { loadFiguresOrCommon } from '../plan/load-figures.js';
import { ownFiguresOf } from '../plan/own-figures.js';
import type { Desk } from '../record/desk.js';
import { recordedFrom, resultOf, type KeptResult } from '../record/recorded.js';
import type { HouseDay } from './day-bounds.js';
import type { Rhythm } from './rhythm.js';

/** A count of a tank, with its result once it is signed off. */
export interface SeenSample {
  readonly id: string;
  readonly tankId: string;
  readonly batchId: string | null;
  readonly takenAt: string;
  readonly result: KeptResult | null;
}

/** Everything that is recorded up to the end of a day. */
export interface DayRecord {
  readonly day: HouseDay;
  /** The time that is looked from: now, or the end of a day that is over. */
  readonly at: string;
  readonly rhythm: Rhythm;
  readonly tanks: readonly Kept<TankFields>[];
  readonly batches: ReadonlyMap<string, Kept<BatchFields>>;
  readonly ledger: SeasonLedger;
  readonly moves: ReadonlyMap<string, readonly SeasonEntry<MoveFields>[]>;
  readonly samples: ReadonlyMap<string, readonly SeenSample[]>;
  readonly rations: ReadonlyMap<string, readonly SeasonEntry<RationFields>[]>;
  /** Of one tank, or of the whole house where `tankId` is null. */
  readonly water: readonly SeasonEntry<WaterNoteFields>[];
  readonly names: Names;
  /** Figures by species. */
  readonly books: ReadonlyMap<string, FigureBook>;
}

function grouped<T>(list: readonly T[], keys: (one: T) => readonly (string | null)[]): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const one of list) {
    for (const key of new Set(keys(one))) {
      if (key === null) continue;
      const group = groups.get(key);
      if (group === undefined) groups.set(key, [one]);
      else group.push(one);
    }
  }
  return groups;
}

const seen = (standing: StandingSample): SeenSample[] => {
  const { id, tankId, batchId, takenAt, active } = standing.sample;
  return tankId === null || !active ? [] : [{ id, tankId, batchId, takenAt, result: resultOf(standing) }];
};

/** Stays that last. */
export const lasting = ({ stays }: SeasonLedger): Stay[] => stays.filter(({ endedAt }) => endedAt === null);

async function booksOf(parts: Parts, species: ReadonlySet<string>): Promise<Map<string, FigureBook>> {
  const books = new Map<string, FigureBook>();
  for (const one of species) {
    const own = await ownFiguresOf(parts, one);
    books.set(one, await loadFiguresOrCommon(one, own === null ? [] : [own.preset]));
  }
  return books;
}

/** Reads what a day is looked at by. */
export async function dayRecord({ parts, now }: Desk, day: HouseDay, rhythm: Rhythm): Promise<DayRecord> {
  const until = <T extends { readonly happenedAt: string }>(list: readonly T[]): T[] =>
    list.filter(({ happenedAt }) => happenedAt < day.ends);
  const moves = until(await parts.moves.list());
  const samples = (await parts.samples.standing()).filter(({ sample }) => sample.takenAt < day.ends);
  const batches = await parts.batches.list();
  const rations = until(await parts.rations.list());
  const tanks = await parts.tanks.list();
  const called = [...tanks, ...batches, ...samples.map(({ sample }) => sample)];
  const names = new Map(called.map(({ id, name }) => [id, name]));
  return {
    day,
    at: now() < day.ends ? now() : day.ends,
    rhythm,
    tanks: tanks.filter(({ active }) => active),
    batches: new Map(batches.map((batch) => [batch.id, batch])),
    ledger: seasonLedger(recordedFrom(moves, samples)),
    moves: grouped(moves, ({ fromTankId, toTankId }) => [fromTankId, toTankId]),
    samples: grouped(samples.flatMap(seen), ({ tankId }) => [tankId]),
    rations: grouped(rations, ({ tankId }) => [tankId]),
    water: until(await parts.waterNotes.list()),
    names: (id) => (id === null ? null : (names.get(id) ?? id)),
    books: await booksOf(parts, new Set(batches.map(({ species }) => species))),
  };
}
