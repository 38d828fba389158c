import type { Parts } from '@veligrid/storage';
import { dayOf } from './day-bounds.js';

/** The last day on which something was done at the tanks; null when nothing was. For a season that is over. */
export async function lastDay(parts: Parts, zone: string): Promise<string | null> {
  const lists = [await parts.moves.list(), await parts.rations.list(), await parts.cultureReadings.list()];
  const samples = await parts.samples.list();
  const times = [
    ...lists.flatMap((list) => list.map(({ happenedAt }) => happenedAt)),
    ...samples.map(({ takenAt }) => takenAt),
  ].toSorted();
  const last = times.at(-1);
  return last === undefined ? null : dayOf(last, zone);
}
