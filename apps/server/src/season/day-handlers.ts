import { checkZone, dayOf, feedDay, giveFeed, lastDay, morningOf, noteLeftCells, type Rhythm } from '@veligrid/season';
import type { Handlers } from '../http/call.js';
import type { House } from '../house.js';
import { notThere } from '../http/problem-error.js';
import { DEMO_KEY } from '../people/session-handlers.js';
import { readSettings } from '../people/settings.js';
import { atDesk, lookingDesk } from './entry-handlers.js';

interface Asked {
  readonly day: string;
  readonly zone: string;
  readonly today: boolean;
}

/** The day that is asked for; without one today, or the last day of a demo, which lies in the past. */
async function askedDay(
  { store, now }: House,
  { day, zone = 'UTC' }: { readonly day?: string | undefined; readonly zone?: string | undefined },
): Promise<Asked> {
  checkZone(zone);
  const today = dayOf(now().toISOString(), zone);
  if (day !== undefined) return { day, zone, today: day === today };
  const demo = await store.settings.get(DEMO_KEY);
  const shown = demo === null ? null : await lastDay(store, zone);
  return { day: shown ?? today, zone, today: shown === null || shown === today };
}

async function rhythmOf(house: House): Promise<Rhythm> {
  const { dropDays, countDays, feedDays, feedFromDay } = await readSettings(house);
  return { dropDays, countDays, feedDays, feedFromDay };
}

export const dayHandlers: Handlers<'getMorning' | 'getFeed' | 'giveFeed' | 'noteLeftCells'> = {
  getMorning: async ({ house, query }) => {
    const { today, ...asked } = await askedDay(house, query);
    return { today, ...(await morningOf(lookingDesk(house), asked, await rhythmOf(house))) };
  },
  getFeed: async ({ house, query }) => {
    const { today, ...asked } = await askedDay(house, query);
    return { today, ...(await feedDay(lookingDesk(house), asked, await rhythmOf(house))) };
  },
  giveFeed: ({ house, body, by }) => {
    const { day, zone = 'UTC', tank: tankId, culture: cultureId, litres } = body;
    checkZone(zone);
    return atDesk(house, by, (desk) => giveFeed(desk, { day, zone, tankId, cultureId, litres }));
  },
  noteLeftCells: ({ house, body: { day, tank: tankId, cellsPerMl }, by }) =>
    atDesk(house, by, async ({ parts, now }) => {
      if ((await parts.tanks.get(tankId)) === null) throw notThere('tank');
      await noteLeftCells(parts, { day, tankId, cellsPerMl }, { by, at: now() });
      return {};
    }),
};
