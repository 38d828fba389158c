import { normalDensity, normalQuantile } from './special-functions.js';
import type { Level } from './limits.js';

/** How many lengths to measure, not rounded (derived; normal lengths of one CV). */
export interface LengthsNeeded {
  readonly cv: number;
  /** Wanted half-width over the figure, for example 0.02. */
  readonly part: number;
  readonly level?: Level;
}

/** For the mean: (z CV / e)^2. */
export const lengthsForMean = ({ cv, part, level = 0.95 }: LengthsNeeded): number =>
  ((normalQuantile((1 + level) / 2) * cv) / part) ** 2;

/** For a percentile p: z^2 p(1-p)/phi(z_p)^2 CV^2 / (e (1 + z_p CV))^2. */
export function lengthsForPercentile(percentile: number, { cv, part, level = 0.95 }: LengthsNeeded): number {
  const z = normalQuantile((1 + level) / 2);
  const zp = normalQuantile(percentile);
  const spread = (percentile * (1 - percentile)) / normalDensity(zp) ** 2;
  return (z ** 2 * spread * cv ** 2) / (part * (1 + zp * cv)) ** 2;
}
