import { mean, standardDeviation, sum } from './moments.js';
import { quantile } from './percentiles.js';

/** One group of lengths. */
export interface Group {
  readonly share: number;
  readonly meanUm: number;
  readonly sdUm: number;
}

/** Two normal groups fitted to lengths, and whether they are believed. */
export interface TwoGroups {
  readonly small: Group;
  readonly large: Group;
  readonly logLikelihood: number;
  /** Bayesian information criterion with one group and with two; smaller is better. */
  readonly bicOne: number;
  readonly bicTwo: number;
  /** Distance of the means over the root mean square SD (Ashman, Bird and Zepf 1994); above 2 is a clean split. */
  readonly distance: number;
  /** All conditions hold: BIC better by 10, distance above 2, 10 larvae in each, 40 in all. */
  readonly accepted: boolean;
  /** All but the last hold: shown with a warning. */
  readonly shownWithWarning: boolean;
}

type Mixture = readonly [Group, Group];

const density = (x: number, { share, meanUm, sdUm }: Group): number =>
  (share / (sdUm * Math.sqrt(2 * Math.PI))) * Math.exp(-0.5 * ((x - meanUm) / sdUm) ** 2);

const logLikelihoodOf = (lengths: readonly number[], groups: Mixture): number =>
  sum(lengths.map((x) => Math.log(density(x, groups[0]) + density(x, groups[1]) + 1e-300)));

/** One group again from the lengths and their chances of belonging to it. */
function refit(lengths: readonly number[], weights: readonly number[]): Group {
  const weight = Math.max(sum(weights), 1e-12);
  const meanUm = sum(lengths.map((x, i) => x * (weights[i] ?? 0))) / weight;
  const squares = sum(lengths.map((x, i) => (x - meanUm) ** 2 * (weights[i] ?? 0))) / weight;
  return { share: weight / lengths.length, meanUm, sdUm: Math.sqrt(squares) };
}

/** Keeps each SD at a quarter of the pooled one or more, so that no group shrinks onto a single length. */
function floored([one, two]: Mixture, leastSd: number): Mixture {
  const least = Math.max(leastSd, Math.sqrt(one.share * one.sdUm ** 2 + two.share * two.sdUm ** 2) / 4);
  return [
    { ...one, sdUm: Math.max(one.sdUm, least) },
    { ...two, sdUm: Math.max(two.sdUm, least) },
  ];
}

/** Expectation and maximisation from one start (Dempster, Laird and Rubin 1977). */
function climb(
  lengths: readonly number[],
  start: Mixture,
  leastSd: number,
): { groups: Mixture; logLikelihood: number } {
  let groups = start;
  let best = -Infinity;
  for (let i = 0; i < 1000; i += 1) {
    const [one, two] = groups;
    const weights = lengths.map((x) => density(x, one) / (density(x, one) + density(x, two) + 1e-300));
    const others = weights.map((weight) => 1 - weight);
    groups = floored([refit(lengths, weights), refit(lengths, others)], leastSd);
    const now = logLikelihoodOf(lengths, groups);
    if (now - best < 1e-10 * Math.abs(now)) return { groups, logLikelihood: now };
    best = now;
  }
  return { groups, logLikelihood: best };
}

/** Starts at pairs of percentiles: 25 and 75 % first, then every other pair of 5, 15, ... 95 %. */
function starts(sorted: readonly number[], sd: number): Mixture[] {
  const parts = [0.05, 0.15, 0.25, 0.35, 0.5, 0.65, 0.75, 0.85, 0.95];
  const pairs = parts.flatMap((a, i) => parts.slice(i + 1).map((b) => [a, b] as const));
  return pairs
    .sort(([a, b], [c, d]) => Math.abs(a - 0.25) + Math.abs(b - 0.75) - Math.abs(c - 0.25) - Math.abs(d - 0.75))
    .slice(0, 24)
    .map(([a, b]) => [
      { share: 0.5, meanUm: quantile(sorted, a), sdUm: sd / 2 },
      { share: 0.5, meanUm: quantile(sorted, b), sdUm: sd / 2 },
    ]);
}

/** At most 500 evenly ranked lengths, enough to choose among starts. */
function thinned(sorted: readonly number[]): readonly number[] {
  const every = Math.ceil(sorted.length / 500);
  return sorted.filter((_, i) => i % every === 0);
}

const LEAST_IN_GROUP = 10;
const LEAST_LENGTHS = 40;
const BETTER_BY = 10;
const CLEAN_DISTANCE = 2;

/**
 * Fits two normal groups to lengths from 24 starts and says whether the split is believed; SDs are kept at a quarter of
 * the pooled SD or more. Skewed lengths give false second groups: look at the histogram.
 *
 * @returns null when there are fewer than 8 lengths or all are alike
 */
export function twoGroups(sorted: readonly number[]): TwoGroups | null {
  const n = sorted.length;
  const sd = n < 8 ? 0 : standardDeviation(sorted);
  if (sd === 0) return null;
  const thin = thinned(sorted);
  const fits = starts(sorted, sd).map((start) => climb(thin, start, sd / 1000));
  const best = climb(sorted, fits.reduce((a, b) => (b.logLikelihood > a.logLikelihood ? b : a)).groups, sd / 1000);
  const [small, large] =
    best.groups[0].meanUm <= best.groups[1].meanUm ? best.groups : [best.groups[1], best.groups[0]];
  const one = { share: 1, meanUm: mean(sorted), sdUm: sd * Math.sqrt((n - 1) / n) };
  const bicOne = -2 * sum(sorted.map((x) => Math.log(density(x, one)))) + 2 * Math.log(n);
  const bicTwo = -2 * best.logLikelihood + 5 * Math.log(n);
  const distance = (large.meanUm - small.meanUm) / Math.sqrt((small.sdUm ** 2 + large.sdUm ** 2) / 2);
  const least = Math.min(small.share, large.share) * n;
  const split = bicTwo < bicOne - BETTER_BY && distance > CLEAN_DISTANCE;
  const accepted = split && least >= LEAST_IN_GROUP && n >= LEAST_LENGTHS;
  return {
    small,
    large,
    logLikelihood: best.logLikelihood,
    bicOne,
    bicTwo,
    distance,
    accepted,
    shownWithWarning: split && !accepted && n < LEAST_LENGTHS,
  };
}
