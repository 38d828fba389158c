import { badArgument } from '@veligrid/model';
import type { Level } from './limits.js';
import { binomialLower } from './special-functions.js';

/** A percentile; a limit is null where the sample is too small to set one. */
export interface Percentile {
  readonly estimate: number;
  readonly low: number | null;
  readonly high: number | null;
}

/** Smallest k with P(X <= k) >= p for X binomial(n, chance). */
function binomialQuantile(p: number, n: number, chance: number): number {
  let [low, high] = [0, n];
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (binomialLower(middle, n, chance) >= p) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Ranks, from 1, of the order statistics that bound a percentile, and how often they do at least; free of any shape. */
export function percentileRanks(
  n: number,
  part: number,
  level: Level = 0.95,
): { readonly low: number | null; readonly high: number | null; readonly coverage: number } {
  if (!(part > 0 && part < 1)) throw badArgument('the percentile', 'a part between 0 and 1', part);
  const tail = (1 - level) / 2;
  const low = binomialQuantile(tail, n, part);
  const high = binomialQuantile(1 - tail, n, part) + 1;
  return {
    low: low < 1 ? null : low,
    high: high > n ? null : high,
    coverage: binomialLower(high - 1, n, part) - binomialLower(low - 1, n, part),
  };
}

/** Percentile of sorted values by linear interpolation at (n-1)p (Hyndman and Fan 1996, type 7, R's default). */
export function quantile(sorted: readonly number[], part: number): number {
  const at = (sorted.length - 1) * part;
  const [below, above] = [sorted[Math.floor(at)] ?? Number.NaN, sorted[Math.ceil(at)] ?? Number.NaN];
  return below + (at - Math.floor(at)) * (above - below);
}

/** A percentile with limits by order statistics, for sorted values, one or more. */
export function percentile(sorted: readonly number[], part: number, level: Level = 0.95): Percentile {
  const ranks = percentileRanks(sorted.length, part, level);
  const at = (rank: number | null): number | null => (rank === null ? null : (sorted[rank - 1] ?? null));
  return { estimate: quantile(sorted, part), low: at(ranks.low), high: at(ranks.high) };
}
