import { badArgument } from '@veligrid/model';

/** A day of the house, from its midnight to the next; one that the clocks are changed on has 23 or 25 hours. */
export interface HouseDay {
  /** Such as `2026-05-06`. */
  readonly day: string;
  /** IANA zone, such as `America/New_York`. */
  readonly zone: string;
  /** First moment of the day, and of the next one, ISO 8601 UTC. */
  readonly begins: string;
  readonly ends: string;
}

const DAY_MS = 86_400_000;
const MINUTE_MS = 60_000;

/** Clocks by zone: making one takes a hundred times as long as reading it. */
const CLOCKS = new Map<string, Intl.DateTimeFormat>();

function clockOf(zone: string): Intl.DateTimeFormat {
  const there = CLOCKS.get(zone);
  if (there !== undefined) return there;
  const clock = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
  });
  CLOCKS.set(zone, clock);
  return clock;
}

/** What the clock on the wall shows at a moment, as if it were UTC, ms. */
function wallClock(ms: number, zone: string): number {
  const parts = clockOf(zone).formatToParts(ms);
  const read = (type: string): number => Number(parts.find((part) => part.type === type)?.value ?? 0);
  return Date.UTC(read('year'), read('month') - 1, read('day'), read('hour'), read('minute'));
}

/** The moment that the clock on the wall shows midnight of a day. */
function midnight(day: string, zone: string): string {
  const wanted = Date.parse(`${day}T00:00:00.000Z`);
  const awayBy = (ms: number): number => wallClock(ms, zone) - Math.floor(ms / MINUTE_MS) * MINUTE_MS;
  // twice, as the clocks may be changed between the guess and the moment itself
  const guess = wanted - awayBy(wanted);
  return new Date(wanted - awayBy(guess)).toISOString();
}

/** The day after, or so many days after. */
export const daysAfter = (day: string, days: number): string =>
  new Date(Date.parse(`${day}T00:00:00.000Z`) + days * DAY_MS).toISOString().slice(0, 10);

/** Whole days from one day to another; above 0 when the other is later. */
export const daysFrom = (one: string, other: string): number => (Date.parse(other) - Date.parse(one)) / DAY_MS;

/** @throws VeligridError `bad-argument` for a zone that nobody knows */
export function checkZone(zone: string): void {
  try {
    new Intl.DateTimeFormat('en-US', { timeZone: zone });
  } catch {
    throw badArgument('zone', 'a time zone such as America/New_York', zone);
  }
}

/** The day that a moment belongs to, in a zone. */
export const dayOf = (moment: string, zone: string): string =>
  new Date(wallClock(Date.parse(moment), zone)).toISOString().slice(0, 10);

/** A day with its bounds. */
export const houseDay = (day: string, zone: string): HouseDay => ({
  day,
  zone,
  begins: midnight(day, zone),
  ends: midnight(daysAfter(day, 1), zone),
});
