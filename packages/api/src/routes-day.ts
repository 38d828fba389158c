import { feedDay, feedTick, leftNoted, ticked } from './feed.js';
import { dayAsked, morning } from './morning.js';
import { empty } from './parts.js';
import type { Route } from './route.js';

/** Routes about one day of the house. */
export const dayRoutes = {
  getMorning: {
    method: 'get',
    path: '/morning',
    role: 'viewer',
    summary: 'A day: what is in each tank, what is due, what wants a look',
    query: dayAsked,
    answer: morning,
  },
  getFeed: {
    method: 'get',
    path: '/feed',
    role: 'viewer',
    summary: 'The feed sheet of a day: litres of each culture for each tank, and what was given already',
    query: dayAsked,
    answer: feedDay,
  },
  giveFeed: {
    method: 'post',
    path: '/feed/given',
    role: 'counter',
    summary: 'Tick off a dose of the feed sheet: records the ration once, however often it is ticked',
    body: feedTick,
    answer: ticked,
  },
  noteLeftCells: {
    method: 'post',
    path: '/feed/left',
    role: 'counter',
    summary: 'Say how many cells are left in a tank before it is fed',
    body: leftNoted,
    answer: empty,
  },
} as const satisfies Record<string, Route>;
