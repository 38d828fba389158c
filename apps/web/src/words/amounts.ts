import { settings } from '../state/settings.js';
import { celsiusToFahrenheit, fromMl, percent, threeFigures } from './numbers.js';
import { say } from './say.js';

/** A figure with the limits that it lies between. */
export interface Limits {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/** A figure with its limits; the figure alone where it is exact. */
export function limitsWords({ estimate, low, high }: Limits, write: (value: number) => string = threeFigures): string {
  if (low === estimate && high === estimate) return write(estimate);
  return say('result.limits', { estimate: write(estimate), low: write(low), high: write(high) });
}

/** The limits alone. */
export const bracketWords = ({ low, high }: Limits, write: (value: number) => string = threeFigures): string =>
  say('result.bracket', { low: write(low), high: write(high) });

/** A share in whole per cent. */
export const wholePercent = (share: number): string => percent(share, 0);

/** A volume in the unit of this device. */
export function volumeWords(ml: number): string {
  const { volumeUnit } = settings.value;
  return `${threeFigures(fromMl(ml, volumeUnit))} ${volumeUnit}`;
}

/** A temperature in the unit of this device. */
export const temperatureWords = (c: number): string =>
  settings.value.degrees === 'F' ? `${threeFigures(celsiusToFahrenheit(c))} °F` : `${threeFigures(c)} °C`;

/** An age in days. */
export const ageWords = (days: number): string => say('age.days', { n: Math.floor(days) });
