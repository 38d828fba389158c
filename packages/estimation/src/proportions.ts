import { badArgument } from '@veligrid/model';
import type { Level, Limits } from './limits.js';
import { betaQuantile, chiSquareQuantile, normalQuantile } from './special-functions.js';

function check(positive: number, of: number): void {
  if (!(of > 0)) throw badArgument('the number scored', 'a number above 0', of);
  if (!(positive >= 0 && positive <= of)) throw badArgument('the positive ones', `a number from 0 to ${of}`, positive);
}

/**
 * Wilson's score limits of a share (Wilson 1927; method 3 of Newcombe 1998).
 *
 * @param positive how many have the trait; need not be whole
 * @param of how many were scored, above 0
 * @param z two-sided quantile; that of the normal at 95 % by default
 */
export function wilson(positive: number, of: number, z: number = normalQuantile(0.975)): Limits {
  check(positive, of);
  const centre = (positive + (z * z) / 2) / (of + z * z);
  const half = (z / (of + z * z)) * Math.sqrt((positive * (of - positive)) / of + (z * z) / 4);
  return {
    estimate: positive / of,
    low: positive === 0 ? 0 : Math.max(0, centre - half),
    high: positive === of ? 1 : Math.min(1, centre + half),
  };
}

/** Exact limits of a share (Clopper and Pearson 1934); whole numbers. Wide, but never short; for rare traits. */
export function clopperPearson(positive: number, of: number, level: Level = 0.95): Limits {
  check(positive, of);
  const tail = (1 - level) / 2;
  return {
    estimate: positive / of,
    low: positive === 0 ? 0 : betaQuantile(tail, positive, of - positive + 1),
    high: positive === of ? 1 : betaQuantile(1 - tail, positive + 1, of - positive),
  };
}

/** One-sided upper limit of a share of which none was seen among n: 1 - (1 - level)^(1/n). */
export const upperWhenNoneSeen = (n: number, level: Level = 0.95): number => -Math.expm1(Math.log1p(-level) / n);

/** How many to score so that one at least of a given share shows up at the level; whole. */
export const numberToSeeOne = (share: number, level: Level = 0.95): number =>
  Math.ceil(Math.log1p(-level) / Math.log1p(-share));

/**
 * Limits of all shares of one count at a time (Goodman 1965, Technometrics 7:247): together they hold at the level.
 *
 * @param counts number in each class, two classes or more, not all 0
 */
export function goodman(counts: readonly number[], level: Level = 0.95): Limits[] {
  const n = counts.reduce((a, b) => a + b, 0);
  if (counts.length < 2 || n === 0) throw badArgument('counts', 'two classes or more with something counted', n);
  const a = chiSquareQuantile(1 - (1 - level) / counts.length, 1);
  return counts.map((count) => {
    const root = Math.sqrt(a * (a + (4 * count * (n - count)) / n));
    return {
      estimate: count / n,
      low: count === 0 ? 0 : Math.max(0, (a + 2 * count - root) / (2 * (n + a))),
      high: count === n ? 1 : Math.min(1, (a + 2 * count + root) / (2 * (n + a))),
    };
  });
}
