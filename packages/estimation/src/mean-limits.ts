import type { Level, Limits } from './limits.js';
import { mean, standardDeviation, sum, variance } from './moments.js';
import { chiSquareQuantile, studentQuantile, studentUpper } from './special-functions.js';

/** Student's t limits of a mean; null for fewer than two values. Assumes independent values, mean about normal. */
export function meanLimits(values: readonly number[], level: Level = 0.95): Limits | null {
  if (values.length < 2) return null;
  const estimate = mean(values);
  const h =
    (studentQuantile((1 + level) / 2, values.length - 1) * standardDeviation(values)) / Math.sqrt(values.length);
  return { estimate, low: estimate - h, high: estimate + h };
}

/** Chi-square limits of a standard deviation; null for fewer than two values. Assumes normal values. */
export function sdLimits(values: readonly number[], level: Level = 0.95): Limits | null {
  const df = values.length - 1;
  if (df < 1) return null;
  const squares = df * variance(values);
  const tail = (1 - level) / 2;
  return {
    estimate: Math.sqrt(squares / df),
    low: Math.sqrt(squares / chiSquareQuantile(1 - tail, df)),
    high: Math.sqrt(squares / chiSquareQuantile(tail, df)),
  };
}

/** Difference of two means by Welch's t (Welch 1947). */
export interface MeanDifference extends Limits {
  readonly t: number;
  readonly degreesOfFreedom: number;
  readonly p: number;
}

/** Second mean less the first with limits that allow unequal scatter; two values or more in each. */
export function meanDifference(
  first: readonly number[],
  second: readonly number[],
  level: Level = 0.95,
): MeanDifference {
  const parts = [first, second].map((values) => ({ v: variance(values) / values.length, df: values.length - 1 }));
  const v = sum(parts.map((part) => part.v));
  const degreesOfFreedom = v ** 2 / sum(parts.map((part) => part.v ** 2 / part.df));
  const estimate = mean(second) - mean(first);
  const h = studentQuantile((1 + level) / 2, degreesOfFreedom) * Math.sqrt(v);
  const t = estimate / Math.sqrt(v);
  return {
    estimate,
    low: estimate - h,
    high: estimate + h,
    t,
    degreesOfFreedom,
    p: 2 * studentUpper(Math.abs(t), degreesOfFreedom),
  };
}
