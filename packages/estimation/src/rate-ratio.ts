import { badArgument } from '@veligrid/model';
import type { Level, Limits } from './limits.js';
import { clopperPearson } from './proportions.js';
import { logGamma } from './special-functions.js';

/** Ratio of two densities from single counts, counting error alone. */
export interface RateRatio extends Limits {
  /** Two-sided p that the densities are equal, summing all outcomes as unlikely (as R's poisson.test does). */
  readonly p: number;
}

/** Two-sided binomial p by the outcomes that are no more likely than the one seen. */
function binomialTest(x: number, n: number, chance: number): number {
  const front = logGamma(n + 1);
  const term = (k: number): number =>
    Math.exp(front - logGamma(k + 1) - logGamma(n - k + 1) + k * Math.log(chance) + (n - k) * Math.log1p(-chance));
  const seen = term(x) * (1 + 1e-7);
  let sum = 0;
  for (let k = 0; k <= n; k += 1) {
    const one = term(k);
    if (one <= seen) sum += one;
  }
  return Math.min(1, sum);
}

/**
 * Second density over the first from one count each: given the sum, the second is binomial (Przyborowski and Wilenski
 * 1940), limits by Clopper and Pearson. Counting error alone, as if both tanks were perfectly mixed.
 *
 * @param first count above 0 with its volume
 * @param second count of 0 or more with its volume
 */
export function rateRatio(
  first: { readonly count: number; readonly volumeMl: number },
  second: { readonly count: number; readonly volumeMl: number },
  level: Level = 0.95,
): RateRatio {
  if (!(first.count > 0)) throw badArgument('the first count', 'a number above 0', first.count);
  const volumes = first.volumeMl / second.volumeMl;
  const n = first.count + second.count;
  const share = clopperPearson(second.count, n, level);
  const odds = (p: number): number => (p / (1 - p)) * volumes;
  const chance = second.volumeMl / (first.volumeMl + second.volumeMl);
  return {
    estimate: (second.count / first.count) * volumes,
    low: odds(share.low),
    high: odds(share.high),
    p: binomialTest(second.count, n, chance),
  };
}
