import { keepHandTally } from '@veligrid/server';
import type { Parts, Store } from '@veligrid/storage';

/** How large a made-up hatchery is. */
export interface SeasonSize {
  readonly tanks: number;
  readonly batches: number;
  /** Days that a batch is in its tanks; it is counted on each but the first. */
  readonly days: number;
  /** When the first batch was spawned. */
  readonly begins: Date;
}

/** One batch in its tanks. */
interface Round {
  readonly name: string;
  readonly tankIds: readonly string[];
  readonly cultureId: string;
  /** Day on which it was spawned. */
  readonly start: number;
  readonly days: number;
  /** Put to set in the end, so that its tanks are free for the next. */
  readonly isOver: boolean;
  readonly at: (day: number, hour: number) => string;
}

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
/** Batches that are in tanks at one time. */
const AT_A_TIME = 10;
const BY = { by: 'Day technician' } as const;
const LENGTHS = [-8, -5, -2, 0, 1, 3, 4, 7];
const MOVE = { intoBatchId: null, low: null, high: null, sampleId: null, screenUm: null, place: '', note: '' };

async function addTanks(store: Store, tanks: number): Promise<string[]> {
  const ids: string[] = [];
  for (let i = 0; i < tanks; i += 1) {
    const name = `${String(Math.floor(i / 10) + 1)}-${String((i % 10) + 1)}`;
    const tank = { name, volumeMl: 2_000_000, volumeStandardUncertaintyMl: 40_000, note: '', active: true };
    ids.push((await store.tanks.add(tank, BY)).id);
  }
  return ids;
}

/** A count by eye of one tank on one day, and what it was fed. */
async function countAndFeed(parts: Parts, round: Round, tank: { tankId: string; batchId: string; day: number }) {
  const { name, start, at, cultureId } = round;
  const { tankId, batchId, day } = tank;
  const alive = Math.round(140 * 0.96 ** day);
  const about = { by: BY.by, name: `${name} day ${String(day)}`, tankId, batchId, takenAt: at(start + day, 9) };
  const fillings = [alive + 4, alive - 3, alive].map((n) => ({
    ...{ alive: n, dead: 2, volumeMl: 0.5, steps: [{ takenMl: 10, madeUpToMl: 100 }] },
  }));
  await keepHandTally(
    { together: (work) => work(parts) },
    {
      ...about,
      ...{ species: 'eastern-oyster', notes: { kind: 'live' }, stage: day < 7 ? 'd-larva' : 'umbo', note: '' },
      containerMl: 2000,
      fillings,
      lengthsUm: LENGTHS.map((off) => 70 + 12 * day + off),
    },
    { now: () => new Date(at(start + day, 10)) },
  );
  const ration = { tankId, cultureId, happenedAt: at(start + day, 15), litres: 6, cellsPerMl: 4e6, note: '' };
  await parts.rations.append(ration, BY);
}

/** @returns counts made */
async function addBatch(parts: Parts, round: Round): Promise<number> {
  const { name, tankIds, start, days, isOver, at } = round;
  const fields = { name, species: 'eastern-oyster', spawnedAt: at(start, 8), note: '', active: true };
  const { id: batchId } = await parts.batches.add(fields, BY);
  for (const tankId of tankIds) {
    const stocked = { ...MOVE, batchId, kind: 'stock', fromTankId: null, toTankId: tankId } as const;
    await parts.moves.append({ ...stocked, happenedAt: at(start, 10), number: 6_000_000, emptied: false }, BY);
    for (let day = 1; day < days; day += 1) await countAndFeed(parts, round, { tankId, batchId, day });
    if (!isOver) continue;
    const set = { ...MOVE, batchId, kind: 'set', fromTankId: tankId, toTankId: null } as const;
    await parts.moves.append({ ...set, happenedAt: at(start + days, 9), number: 2_000_000, emptied: true }, BY);
  }
  return tankIds.length * (days - 1);
}

/**
 * Fills a store with a made-up season: ten batches at a time in equal groups of tanks, each tank counted and fed once a
 * day, all but the last ten put to set.
 *
 * @returns number of counts, and the last day as ISO 8601 writes it
 */
export async function fillSeason(
  store: Store,
  { tanks, batches, days, begins }: SeasonSize,
): Promise<{ readonly counts: number; readonly lastDay: string }> {
  const at = (day: number, hour: number): string =>
    new Date(begins.getTime() + day * DAY_MS + hour * HOUR_MS).toISOString();
  const tankIds = await addTanks(store, tanks);
  const culture = { name: 'T-4', species: 'Tisochrysis lutea', note: '', active: true };
  const { id: cultureId } = await store.cultures.add(culture, BY);
  const groups = Math.min(AT_A_TIME, tanks);
  const each = Math.floor(tanks / groups);
  const lastRound = Math.floor((batches - 1) / groups);
  let counts = 0;
  for (let b = 0; b < batches; b += 1) {
    const turn = Math.floor(b / groups);
    const own = tankIds.slice((b % groups) * each, ((b % groups) + 1) * each);
    const round = { name: `B${String(b + 1)}`, tankIds: own, cultureId, days, at };
    // one batch after another, each kept all or not at all: thousands of rows by themselves take long
    counts += await store.together((parts) =>
      addBatch(parts, { ...round, start: turn * (days + 2), isOver: turn < lastRound }),
    );
  }
  const last = lastRound * (days + 2) + days - 1;
  const reading = { cultureId, happenedAt: at(last, 6), litres: 400, cellsPerMl: 4e6, tally: null, note: '' };
  await store.cultureReadings.append(reading, BY);
  return { counts, lastDay: at(last, 0).slice(0, 10) };
}
