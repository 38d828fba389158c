import { keepHandTally } from '@veligrid/server';
import type { Store } from '@veligrid/storage';

/** How large a made-up hatchery is. */
export interface SeasonSize {
  readonly tanks: number;
  readonly batches: number;
  /** Counts of each tank while a batch is in it, one a day. */
  readonly days: number;
  /** When the first batch was spawned. */
  readonly begins: Date;
}

const DAY_MS = 86_400_000;
const BY = { by: 'Day technician' } as const;
const LENGTHS = [-8, -5, -2, 0, 1, 3, 4, 7];

/**
 * Fills a store with a made-up season: batches one after another in equal groups of tanks, each tank counted and fed once
 * a day, all but the last batches put to set.
 *
 * @returns number of counts, and the last day as ISO 8601 writes it
 */
export async function fillSeason(
  store: Store,
  { tanks, batches, days, begins }: SeasonSize,
): Promise<{ readonly counts: number; readonly lastDay: string }> {
  const at = (day: number, hour: number): string =>
    new Date(begins.getTime() + day * DAY_MS + hour * 3_600_000).toISOString();
  const each = Math.max(1, Math.floor((tanks * days) / Math.max(days, batches * 2)));
  const groups = Math.max(1, Math.floor(tanks / each));
  const tankIds: string[] = [];
  for (let i = 0; i < tanks; i += 1) {
    const tank = { name: `${Math.floor(i / 10) + 1}-${(i % 10) + 1}`, volumeMl: 2_000_000, note: '', active: true };
    tankIds.push((await store.tanks.add({ ...tank, volumeStandardUncertaintyMl: 40_000 }, BY)).id);
  }
  const { id: cultureId } = await store.cultures.add(
    { name: 'T-4', species: 'Tisochrysis lutea', note: '', active: true },
    BY,
  );
  let counts = 0;
  let last = 0;
  for (let b = 0; b < batches; b += 1) {
    const start = Math.floor(b / groups) * (days + 2);
    const own = tankIds.slice((b % groups) * each, (b % groups) * each + each);
    last = Math.max(last, start + days - 1);
    // one batch after another, each kept all or not at all: thousands of rows by themselves take long
    await store.together(async (parts) => {
      const fields = { name: `B${b + 1}`, species: 'eastern-oyster', spawnedAt: at(start, 8), note: '', active: true };
      const { id: batchId } = await parts.batches.add(fields, BY);
      const move = {
        batchId,
        intoBatchId: null,
        low: null,
        high: null,
        sampleId: null,
        screenUm: null,
        place: '',
        note: '',
      };
      for (const tankId of own) {
        const stocked = {
          ...move,
          kind: 'stock',
          happenedAt: at(start, 10),
          fromTankId: null,
          toTankId: tankId,
        } as const;
        await parts.moves.append({ ...stocked, number: 6_000_000, emptied: false }, BY);
        for (let day = 1; day < days; day += 1) {
          const alive = Math.round(140 * 0.96 ** day);
          await keepHandTally(
            { together: (work) => work(parts) },
            {
              ...{ by: BY.by, name: `B${b + 1} day ${day}`, tankId, batchId, takenAt: at(start + day, 9) },
              ...{ species: 'eastern-oyster', notes: { kind: 'live' }, stage: day < 7 ? 'd-larva' : 'umbo', note: '' },
              containerMl: 2000,
              fillings: [alive + 4, alive - 3, alive].map((n) => ({
                ...{ alive: n, dead: 2, volumeMl: 0.5, steps: [{ takenMl: 10, madeUpToMl: 100 }] },
              })),
              lengthsUm: LENGTHS.map((off) => 70 + 12 * day + off),
            },
            { now: () => new Date(at(start + day, 10)) },
          );
          counts += 1;
          const ration = { tankId, cultureId, happenedAt: at(start + day, 15), litres: 6, cellsPerMl: 4e6, note: '' };
          await parts.rations.append(ration, BY);
        }
        if (Math.floor(b / groups) < Math.floor((batches - 1) / groups)) {
          const set = {
            ...move,
            kind: 'set',
            happenedAt: at(start + days, 9),
            fromTankId: tankId,
            toTankId: null,
          } as const;
          await parts.moves.append({ ...set, number: 2_000_000, emptied: true }, BY);
        }
      }
    });
  }
  const reading = { cultureId, happenedAt: at(last, 6), litres: 400, cellsPerMl: 4e6, tally: null, note: '' };
  await store.cultureReadings.append(reading, BY);
  return { counts, lastDay: at(last, 0).slice(0, 10) };
}
