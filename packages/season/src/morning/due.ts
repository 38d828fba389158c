import { dayOf, daysAfter, daysFrom, type HouseDay } from './day-bounds.js';

/** Whether something is to be done on a day. */
export interface Due {
  readonly what: 'drop' | 'count' | 'feed';
  readonly state: 'due' | 'done' | 'later';
  /** When it was done last, or when the larvae came into the tank; null when never. */
  readonly last: string | null;
  /** Day that it is to be done, or was to be done. */
  readonly next: string;
}

interface Asked {
  readonly what: Due['what'];
  /** Days between; 0 when there is no rhythm. */
  readonly every: number;
  /** Moments that it was done, latest last. */
  readonly done: readonly string[];
  /** Day that it is due when it was never done. */
  readonly first: string;
}

/** What a rhythm says of a day; null when there is no rhythm. */
export function dueOf({ what, every, done, first }: Asked, { day, zone }: HouseDay): Due | null {
  if (every === 0) return null;
  const last = done.at(-1) ?? null;
  const next = last === null ? first : daysAfter(dayOf(last, zone), every);
  if (last !== null && dayOf(last, zone) === day) return { what, state: 'done', last, next };
  return { what, state: daysFrom(next, day) >= 0 ? 'due' : 'later', last, next };
}
