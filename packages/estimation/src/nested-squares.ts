import { badArgument } from '@veligrid/model';
import { mean, variance } from './moments.js';
import { studentQuantile } from './special-functions.js';
import type { Level, Limits } from './limits.js';

/** What squares nested in fillings say: squares inform the slide, only fillings inform the tank. */
export interface NestedSquares {
  /** Mean count of a square with t limits on fillings - 1 degrees of freedom. */
  readonly mean: Limits;
  readonly standardError: number;
  readonly degreesOfFreedom: number;
  /** Mean squares between and within fillings. */
  readonly between: number;
  readonly within: number;
  /** Variance that fillings add, not below 0. */
  readonly fillingVariance: number;
  /** between / within. */
  readonly f: number;
}

/**
 * One-way analysis of variance of squares in fillings, the same number of squares in each (for example Davies and
 * Goldsmith 1972). Assumes squares picked at random.
 *
 * @param fillings counts of the squares of each filling; two fillings or more, two squares or more, all equal
 */
export function nestedSquares(fillings: readonly (readonly number[])[], level: Level = 0.95): NestedSquares {
  const a = fillings.length;
  const b = fillings[0]?.length ?? 0;
  if (a < 2 || b < 2 || fillings.some((squares) => squares.length !== b)) {
    throw badArgument('fillings', 'two or more with the same number of squares, two or more', `${a} of ${b}`);
  }
  const within = mean(fillings.map(variance));
  const between = b * variance(fillings.map(mean));
  const estimate = mean(fillings.map(mean));
  const standardError = Math.sqrt(between / (a * b));
  const h = studentQuantile((1 + level) / 2, a - 1) * standardError;
  return {
    mean: { estimate, low: estimate - h, high: estimate + h },
    standardError,
    degreesOfFreedom: a - 1,
    between,
    within,
    fillingVariance: Math.max(0, (between - within) / b),
    f: between / within,
  };
}

/**
 * Best number of squares per filling for the money: sqrt(cost of a filling / cost of a square x within / filling
 * variance). Usually small: more fillings, fewer squares.
 *
 * @returns Infinity when fillings do not differ
 */
export function bestSquaresPerFilling(
  { within, fillingVariance }: Pick<NestedSquares, 'within' | 'fillingVariance'>,
  cost: { readonly filling: number; readonly square: number },
): number {
  return Math.sqrt((cost.filling / cost.square) * (within / fillingVariance));
}
