import { badArgument } from '@veligrid/model';
import { STARTING_TRIPLICATES } from './starting-triplicates.js';
import { mean, variance } from './moments.js';

/** Scatter between subsamples of one tank beyond counting error, from earlier counts by the same method. */
export interface History {
  /** Coefficient of variation between subsamples, 0 or more; 0.08 is 8 %. */
  readonly cv: number;
  /** Degrees of freedom behind it: subsamples less one, summed over the counts. */
  readonly degreesOfFreedom: number;
}

/** Own history with fewer degrees of freedom is too short to stand alone. */
export const LEAST_OWN_DEGREES = 10;

/**
 * Pools earlier counts into one between-subsample CV: sum of (n-1)(s2/m2 - 1/m) over sum of (n-1), not below 0.
 * Assumes one way of mixing, taking and counting; start anew after a change.
 *
 * @param groups counts of the subsamples of each earlier sample, equal volumes within a group, two or more of each
 * @throws VeligridError `bad-argument` when no group has two subsamples and something counted
 */
export function pooledHistory(groups: readonly (readonly number[])[]): History {
  let sum = 0;
  let degreesOfFreedom = 0;
  for (const counts of groups) {
    const m = mean(counts);
    if (counts.length < 2 || m === 0) continue;
    sum += (counts.length - 1) * (variance(counts) / m ** 2 - 1 / m);
    degreesOfFreedom += counts.length - 1;
  }
  if (degreesOfFreedom === 0)
    throw badArgument('the history', 'counts with two or more subsamples each', groups.length);
  return { cv: Math.sqrt(Math.max(0, sum / degreesOfFreedom)), degreesOfFreedom };
}

/** Scatter of one person's counts, 4 to 19 % (Vuorio and others 2007, Boreal Environment Research 12:561). */
const ONE_PERSON = { least: 0.04, most: 0.19 };

/**
 * Degrees of freedom granted to the starting CV. It comes from another hatchery, so it says little of this one: half the
 * range known of one person's counts is 7.5 %, which leaves a CV of 12.85 % uncertain by 58 % of itself, and JCGM
 * 100:2008 G.4.2 turns that into 1/2 (0.58)^-2 = 1.47.
 */
function startingDegrees(cv: number): number {
  const relative = (ONE_PERSON.most - ONE_PERSON.least) / 2 / cv;
  return 1 / (2 * relative ** 2);
}

const startingCv = pooledHistory(STARTING_TRIPLICATES).cv;

/** Stands in until a hatchery has enough history of its own; 12.85 % from the 26 published triplicates. */
export const STARTING_HISTORY: History = {
  cv: startingCv,
  degreesOfFreedom: startingDegrees(startingCv),
};
