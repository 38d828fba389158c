import { language } from './say.js';

/** Volume units to choose from; stored and sent in millilitres always. */
export const VOLUME_UNITS = ['mL', 'L', 'gal'] as const;
export type VolumeUnit = (typeof VOLUME_UNITS)[number];

/** Millilitres in a unit: the US gallon is 231 cubic inches of 2.54 cm (NIST Handbook 44, appendix C). */
const ML: Readonly<Record<VolumeUnit, number>> = { mL: 1, L: 1000, gal: 231 * 2.54 ** 3 };

/** Millilitres of a volume in a unit. */
export const toMl = (value: number, unit: VolumeUnit): number => value * ML[unit];
/** A volume in millilitres in another unit. */
export const fromMl = (ml: number, unit: VolumeUnit): number => ml / ML[unit];

/** Degrees Celsius of a temperature in Fahrenheit. */
export const fahrenheitToCelsius = (f: number): number => ((f - 32) * 5) / 9;
/** Degrees Fahrenheit of a temperature in Celsius. */
export const celsiusToFahrenheit = (c: number): number => (c * 9) / 5 + 32;

/** How decimals are written: as the language does, or always with a point or comma. */
export const DECIMAL_SIGNS = ['language', 'point', 'comma'] as const;
export type DecimalSign = (typeof DECIMAL_SIGNS)[number];

const TAGS = { point: 'en-US', comma: 'de-DE' } as const;
let sign: DecimalSign = 'language';

/** Sets how decimals are written from now on. */
export function writeDecimals(as: DecimalSign): void {
  sign = as;
}

const tag = (): string => (sign === 'language' ? language.value : TAGS[sign]);

/** A number with three significant figures, whole parts never cut: 1234.5 is 1,230 but 0.01234 is 0.0123. */
export const threeFigures = (value: number): string =>
  new Intl.NumberFormat(tag(), { maximumSignificantDigits: 3 }).format(value);

/** A number as exact as it is kept, to six significant figures. */
export const exactNumber = (value: number): string =>
  new Intl.NumberFormat(tag(), { maximumSignificantDigits: 6 }).format(value);

/**
 * A number as people type it, thousands together: two decimals from 1 on and none from 1,000 on, four significant
 * figures below 1, so that no decimals look like thousands.
 */
export function typedForm(value: number): string {
  const few =
    Math.abs(value) < 1 ? { maximumSignificantDigits: 4 } : { maximumFractionDigits: Math.abs(value) < 1000 ? 2 : 0 };
  return new Intl.NumberFormat(tag(), { ...few, useGrouping: false }).format(value);
}

/** A large number for the side of a drawing: 1,500,000 is 1.5M. */
export const shortNumber = (value: number): string =>
  new Intl.NumberFormat(tag(), { notation: 'compact', maximumSignificantDigits: 3 }).format(value);

/** A number with a fixed number of decimals. */
export const decimals = (value: number, places: number): string =>
  new Intl.NumberFormat(tag(), { minimumFractionDigits: places, maximumFractionDigits: places }).format(value);

/** A share, 0..1, in per cent. */
export const percent = (share: number, places = 1): string => `${decimals(share * 100, places)} %`;

/** A date and time in the language on screen, in the zone of this device. */
export const dateTime = (iso: string): string =>
  new Intl.DateTimeFormat(language.value, { dateStyle: 'medium', timeStyle: 'short' }).format(new Date(iso));

/** A day and month in the language on screen, in the zone of this device. */
export const date = (iso: string): string =>
  new Intl.DateTimeFormat(language.value, { day: 'numeric', month: 'short' }).format(new Date(iso));

/** A number that a person typed, with decimal point or comma; null when it is none. */
export function readNumber(text: string): number | null {
  const plain = text.trim().replace(/\s/g, '').replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}

/** A moment as `datetime-local` writes it, in the zone of this device. */
export function localTime(date: Date): string {
  const shifted = new Date(date.getTime() - date.getTimezoneOffset() * 60_000);
  return shifted.toISOString().slice(0, 16);
}
