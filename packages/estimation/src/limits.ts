import { badArgument } from '@veligrid/model';
import { normalQuantile, studentQuantile } from './special-functions.js';

/** A figure with the limits between which the truth lies at the stated level. */
export interface Limits {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/** Part of samples whose limits hold the truth, 0.5..0.9999; 0.95 by default everywhere. */
export type Level = number;

/** The same limits with each figure times a factor. */
export const times = ({ estimate, low, high }: Limits, factor: number): Limits => ({
  estimate: estimate * factor,
  low: low * factor,
  high: high * factor,
});

/** @throws VeligridError `bad-argument` unless the level is from 0.5 to 0.9999 */
export function checkLevel(level: Level): void {
  if (!(level >= 0.5 && level <= 0.9999)) throw badArgument('level', 'a number from 0.5 to 0.9999', level);
}

/** Two-sided quantile: t with df degrees of freedom, or the normal when df is Infinity. */
export const twoSided = (level: Level, df: number = Infinity): number =>
  df === Infinity ? normalQuantile((1 + level) / 2) : studentQuantile((1 + level) / 2, df);

/** Natural logarithm of the widest limit that is still called one: a million million times the estimate. */
export const WIDEST: number = Math.log(1e12);

/** Limits on a log scale: estimate times and over e^h; h is cut at `WIDEST`, which keeps every limit finite. */
export function logLimits(estimate: number, h: number): Limits {
  const factor = Math.exp(Math.min(h, WIDEST));
  return { estimate, low: estimate / factor, high: estimate * factor };
}
