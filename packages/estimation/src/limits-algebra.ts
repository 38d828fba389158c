import { badArgument } from '@veligrid/model';
import { WIDEST, type Limits } from './limits.js';

/**
 * Limits of products, ratios, sums and differences of figures that are independent of each other, from the limits of
 * each: distances to the limits add by squares, on a log scale for products and ratios (recovery of variances: Zou and
 * Donner 2008, Statistics in Medicine 27:1693; Donner and Zou 2012, Statistical Methods in Medical Research 21:347; from
 * memory). For limits that are symmetric on that scale and have unlimited degrees of freedom it is the root sum of
 * squares of JCGM 100:2008 5.1.6; it keeps lopsided limits, those of shares for example, as they are. Nothing is ever
 * infinite: no limit lies further than a million million times from the estimate.
 */

const downwards = ({ estimate, low }: Limits): number => (low > 0 ? Math.log(estimate / low) : Infinity);
const upwards = ({ estimate, high }: Limits): number => Math.log(high / estimate);

/** A figure without uncertainty. */
export const exactly = (value: number): Limits => ({ estimate: value, low: value, high: value });

/** Product of two figures of 0 or more. */
export function productLimits(a: Limits, b: Limits): Limits {
  const estimate = a.estimate * b.estimate;
  if (estimate === 0) return { estimate, low: 0, high: a.high * b.high };
  return {
    estimate,
    low: estimate * Math.exp(-Math.hypot(downwards(a), downwards(b))),
    high: estimate * Math.exp(Math.min(WIDEST, Math.hypot(upwards(a), upwards(b)))),
  };
}

/**
 * Ratio of two figures of 0 or more.
 *
 * @throws VeligridError `bad-argument` when the denominator is 0
 */
export function ratioLimits(numerator: Limits, denominator: Limits): Limits {
  if (!(denominator.estimate > 0)) throw badArgument('the denominator', 'a number above 0', denominator.estimate);
  const estimate = numerator.estimate / denominator.estimate;
  const down = upwards(denominator);
  const up = Math.min(WIDEST, downwards(denominator));
  if (estimate === 0) return { estimate, low: 0, high: (numerator.high / denominator.estimate) * Math.exp(up) };
  return {
    estimate,
    low: estimate * Math.exp(-Math.hypot(downwards(numerator), down)),
    high: estimate * Math.exp(Math.min(WIDEST, Math.hypot(upwards(numerator), up))),
  };
}

/** Sum of figures; 0 for none. */
export function sumLimits(parts: readonly Limits[]): Limits {
  const estimate = parts.reduce((sum, part) => sum + part.estimate, 0);
  return {
    estimate,
    low: estimate - Math.hypot(0, ...parts.map((part) => part.estimate - part.low)),
    high: estimate + Math.hypot(0, ...parts.map((part) => part.high - part.estimate)),
  };
}

/** First figure less the second; below 0 where it is. */
export function differenceLimits(a: Limits, b: Limits): Limits {
  const estimate = a.estimate - b.estimate;
  return {
    estimate,
    low: estimate - Math.hypot(a.estimate - a.low, b.high - b.estimate),
    high: estimate + Math.hypot(a.high - a.estimate, b.estimate - b.low),
  };
}
