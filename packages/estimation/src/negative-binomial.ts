import { badArgument } from '@veligrid/model';
import { logLimits, twoSided, type Level, type Limits } from './limits.js';
import { mean, sum, variance } from './moments.js';
import { digamma, logGamma, trigamma } from './special-functions.js';

/** Clumping of counts in squares: variance = m + m^2/k; a large k is a random spread. */
export interface Clumping {
  readonly mean: number;
  /** By maximum likelihood; Infinity when the variance is not above the mean. */
  readonly k: number;
  readonly kStandardError: number;
  /** Moment estimate m^2/(s^2 - m), and corrected (m^2 - s^2/n)/(s^2 - m). */
  readonly kByMoments: number;
  readonly kCorrected: number;
  /** Limits of the mean on a log scale, normal quantile. */
  readonly limits: Limits;
  /** Twice the gain in log likelihood over a random spread; its p is half of chi-square's with 1 degree. */
  readonly likelihoodRatio: number;
}

const logLikelihood = (counts: readonly number[], m: number, k: number): number =>
  sum(
    counts.map((x) =>
      k === Infinity
        ? x * Math.log(m) - m - logGamma(x + 1)
        : logGamma(x + k) - logGamma(k) - logGamma(x + 1) + k * Math.log(k / (k + m)) + x * Math.log(m / (k + m)),
    ),
  );

/** Root of the score equation sum[psi(x+k) - psi(k)] + n ln(k/(k+m)) = 0, which falls through 0 once. */
function bestK(counts: readonly number[], m: number): number {
  const score = (k: number): number =>
    sum(counts.map((x) => digamma(x + k) - digamma(k))) + counts.length * Math.log(k / (k + m));
  let [low, high] = [1e-8, 1];
  while (score(high) > 0 && high < 1e9) high *= 4;
  for (let i = 0; i < 200 && high / low > 1 + 1e-13; i += 1) {
    const middle = Math.sqrt(low * high);
    if (score(middle) > 0) low = middle;
    else high = middle;
  }
  return Math.sqrt(low * high);
}

/**
 * Fits a negative binomial to counts of equal squares. k is unstable for fewer than 20 squares; limits for a total then
 * come from `estimateCount`.
 *
 * @param counts two squares or more with something counted
 */
export function clumpingOf(counts: readonly number[], level: Level = 0.95): Clumping {
  const n = counts.length;
  const m = mean(counts);
  if (n < 2 || m === 0) throw badArgument('counts', 'two or more squares with something counted', n);
  const excess = variance(counts) - m;
  const k = excess > 0 ? bestK(counts, m) : Infinity;
  const information = -sum(counts.map((x) => trigamma(x + k) - trigamma(k))) - n * (1 / k - 1 / (k + m));
  const relative = Math.sqrt((1 / m + 1 / k) / n);
  return {
    mean: m,
    k,
    kStandardError: k === Infinity ? Infinity : 1 / Math.sqrt(information),
    kByMoments: excess > 0 ? m ** 2 / excess : Infinity,
    kCorrected: excess > 0 ? (m ** 2 - variance(counts) / n) / excess : Infinity,
    limits: logLimits(m, twoSided(level) * relative),
    likelihoodRatio: 2 * (logLikelihood(counts, m, k) - logLikelihood(counts, m, Infinity)),
  };
}
