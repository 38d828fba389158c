import { language } from './say.js';

/** A day such as `2026-05-06` as a moment that every zone shows as that day. */
const noon = (day: string): Date => new Date(`${day}T12:00:00.000Z`);

/** A day with its weekday, in the language on screen. */
export const longDay = (day: string): string =>
  new Intl.DateTimeFormat(language.value, { dateStyle: 'full', timeZone: 'UTC' }).format(noon(day));

/** A day without its year. */
export const shortDay = (day: string): string =>
  new Intl.DateTimeFormat(language.value, { day: 'numeric', month: 'short', timeZone: 'UTC' }).format(noon(day));

/** A moment without its year, in the zone of this device. */
export const shortMoment = (iso: string): string =>
  new Intl.DateTimeFormat(language.value, {
    day: 'numeric',
    month: 'short',
    hour: 'numeric',
    minute: '2-digit',
  }).format(new Date(iso));

/** The time of day of a moment, in the zone of this device. */
export const clockTime = (iso: string): string =>
  new Intl.DateTimeFormat(language.value, { hour: 'numeric', minute: '2-digit' }).format(new Date(iso));

/** The day so many days after another. */
export function dayAfter(day: string, days: number): string {
  const date = noon(day);
  date.setUTCDate(date.getUTCDate() + days);
  return date.toISOString().slice(0, 10);
}

/** Zone of this device, such as `America/New_York`. */
export const deviceZone = (): string => Intl.DateTimeFormat().resolvedOptions().timeZone;
