import { badArgument } from '@veligrid/model';
import { checkLevel, twoSided, type Level, type Limits } from './limits.js';
import { sum } from './moments.js';
import { logGamma } from './special-functions.js';

/** Finds of one class of score, of which some were drawn at random and looked at. */
export interface CheckedFinds {
  /** All finds of the class. */
  readonly found: number;
  /** How many were looked at, 2 or more, or all. */
  readonly checked: number;
  /** How many of these were right. */
  readonly right: number;
}

/** How many finds are right, misses left aside. */
export interface FindsEstimate extends Limits {
  readonly standardError: number;
  /** With shares moved towards a half, (x+1)/(n+2) over n+2: for classes that showed no error at all. */
  readonly cautiousStandardError: number;
}

function check({ found, checked, right }: CheckedFinds): void {
  const whole = [found, checked, right].every((n) => Number.isInteger(n) && n >= 0);
  if (!whole || right > checked || checked > found || checked < Math.min(2, found)) {
    throw badArgument('a class', 'found >= checked >= right, 2 or more checked', `${found}, ${checked}, ${right}`);
  }
}

const variance = ({ found, checked }: CheckedFinds, share: number, divisor: number): number =>
  checked === 0 ? 0 : (found ** 2 * (1 - checked / found) * share * (1 - share)) / divisor;

/**
 * Right ones among finds, from a random part of each class of score: N x/n, variance N^2 (1 - n/N) p (1 - p)/(n - 1),
 * normal limits (for example Cochran 1977, chapter 5). A class that showed no error, or nothing else, would have no
 * variance; the cautious one then sets the limits. Says nothing of what was missed.
 *
 * @param classes one or more; a class checked in full adds no uncertainty
 */
export function auditFinds(classes: readonly CheckedFinds[], level: Level = 0.95): FindsEstimate {
  checkLevel(level);
  if (classes.length === 0) throw badArgument('classes', 'one or more', 'none');
  classes.forEach(check);
  const estimate = sum(classes.map(({ found, checked, right }) => (checked === 0 ? 0 : (found * right) / checked)));
  const plain = sum(classes.map((one) => variance(one, one.right / one.checked, one.checked - 1)));
  const cautious = sum(classes.map((one) => variance(one, (one.right + 1) / (one.checked + 2), one.checked + 2)));
  const allAlike = classes.some(({ found, checked, right }) => checked < found && (right === 0 || right === checked));
  const h = twoSided(level) * Math.sqrt(allAlike ? Math.max(plain, cautious) : plain);
  const found = sum(classes.map((one) => one.found));
  return {
    estimate,
    low: Math.max(sum(classes.map(({ right }) => right)), estimate - h),
    high: Math.min(found - sum(classes.map(({ checked, right }) => checked - right)), estimate + h),
    standardError: Math.sqrt(plain),
    cautiousStandardError: Math.sqrt(cautious),
  };
}

const logChoose = (n: number, k: number): number => logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1);

/** Chance of `right` among the checked when `good` of all finds are right: P(X <= right) and P(X >= right). */
function tails({ found, checked, right }: CheckedFinds, good: number): { lower: number; upper: number } {
  let [lower, upper] = [0, 0];
  const [from, to] = [Math.max(0, checked - (found - good)), Math.min(checked, good)];
  for (let x = from; x <= to; x += 1) {
    const chance = Math.exp(logChoose(good, x) + logChoose(found - good, checked - x) - logChoose(found, checked));
    if (x <= right) lower += chance;
    if (x >= right) upper += chance;
  }
  return { lower, upper };
}

/** Smallest whole number from `low` to `high` for which a condition that never turns back holds. */
function firstWhere(low: number, high: number, holds: (n: number) => boolean): number {
  let [from, to] = [low, high];
  while (from < to) {
    const middle = Math.floor((from + to) / 2);
    if (holds(middle)) to = middle;
    else from = middle + 1;
  }
  return from;
}

/**
 * Exact limits for one class by inverting the hypergeometric distribution; whole numbers.
 *
 * @param tail chance beyond each limit: 0.025 for two-sided 95 %, 0.05 for a one-sided lower limit
 */
export function exactFinds(one: CheckedFinds, tail = 0.025): { readonly low: number; readonly high: number } {
  check(one);
  const [least, most] = [one.right, one.found - (one.checked - one.right)];
  return {
    low: firstWhere(least, most, (good) => tails(one, good).upper > tail),
    high: firstWhere(least, most + 1, (good) => good > most || tails(one, good).lower <= tail) - 1,
  };
}

/** How to share out checks over classes of score (Neyman 1934): by N sqrt(p (1 - p)) with p of (x+1)/(n+2); not rounded. */
export function shareOutChecks(classes: readonly CheckedFinds[], checks: number): number[] {
  const weights = classes.map(({ found, checked, right }) => {
    const share = (right + 1) / (checked + 2);
    return found * Math.sqrt(share * (1 - share));
  });
  return weights.map((weight) => (checks * weight) / sum(weights));
}
