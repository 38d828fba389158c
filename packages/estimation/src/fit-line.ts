import { badArgument } from '@veligrid/model';
import { studentQuantile } from './special-functions.js';
import type { Level, Limits } from './limits.js';
import { sum } from './moments.js';

/** A straight line y = intercept + slope x fitted by least squares. */
export interface Line {
  readonly intercept: number;
  readonly slope: number;
  readonly interceptSe: number;
  readonly slopeSe: number;
  /** Correlation of intercept and slope. */
  readonly correlation: number;
  /** Residual standard deviation on `degreesOfFreedom`; 0 for two points. */
  readonly residualSd: number;
  readonly degreesOfFreedom: number;
  /** Weighted mean of x and sum of weighted squares around it. */
  readonly xMean: number;
  readonly xSquares: number;
  readonly weight: number;
}

/**
 * Weighted least squares (weights 1 by default). Two points are joined, with all uncertainties 0.
 *
 * @throws VeligridError `bad-argument` for fewer than two different x
 */
export function fitLine(xs: readonly number[], ys: readonly number[], weights?: readonly number[]): Line {
  const w = xs.map((_, i) => weights?.[i] ?? 1);
  const at = (i: number): number => ys[i] ?? Number.NaN;
  const weight = sum(w);
  const xMean = sum(xs.map((x, i) => x * (w[i] ?? 0))) / weight;
  const yMean = sum(xs.map((_, i) => at(i) * (w[i] ?? 0))) / weight;
  const xSquares = sum(xs.map((x, i) => (x - xMean) ** 2 * (w[i] ?? 0)));
  if (!(xSquares > 0)) throw badArgument('days', 'a list with two or more different days', [...new Set(xs)].join(', '));
  const slope = sum(xs.map((x, i) => (x - xMean) * (at(i) - yMean) * (w[i] ?? 0))) / xSquares;
  const intercept = yMean - slope * xMean;
  const degreesOfFreedom = xs.length - 2;
  const squares = sum(xs.map((x, i) => (at(i) - intercept - slope * x) ** 2 * (w[i] ?? 0)));
  const residualSd = degreesOfFreedom > 0 ? Math.sqrt(squares / degreesOfFreedom) : 0;
  const spread = Math.sqrt(1 / weight + xMean ** 2 / xSquares);
  return {
    intercept,
    slope,
    interceptSe: residualSd * spread,
    slopeSe: residualSd / Math.sqrt(xSquares),
    correlation: -xMean / (xSquares * (spread / Math.sqrt(xSquares))),
    residualSd,
    degreesOfFreedom,
    xMean,
    xSquares,
    weight,
  };
}

/** t quantile of a line; 0 for two points, which have no scatter. */
const quantileOf = ({ degreesOfFreedom }: Line, level: Level): number =>
  degreesOfFreedom > 0 ? studentQuantile((1 + level) / 2, degreesOfFreedom) : 0;

/** Variance of the line's height at x over the residual variance. */
const leverage = ({ weight, xMean, xSquares }: Line, x: number): number => 1 / weight + (x - xMean) ** 2 / xSquares;

/** Height at x with t limits: of the line itself, or of a further point. */
export function lineAt(line: Line, x: number, of: 'line' | 'new point', level: Level = 0.95): Limits {
  const estimate = line.intercept + line.slope * x;
  const variance = leverage(line, x) + (of === 'new point' ? 1 : 0);
  const h = quantileOf(line, level) * line.residualSd * Math.sqrt(variance);
  return { estimate, low: estimate - h, high: estimate + h };
}

/** Slope with t limits. */
export function slopeLimits(line: Line, level: Level = 0.95): Limits {
  const h = quantileOf(line, level) * line.slopeSe;
  return { estimate: line.slope, low: line.slope - h, high: line.slope + h };
}

/**
 * The x where the line reaches y, with limits by inverse regression: roots of (a + b x - y)^2 = t^2 var(a + b x).
 *
 * @returns null when the slope is not clear of 0, so that the limits do not close
 */
export function whereLineReaches(line: Line, y: number, of: 'line' | 'new point', level: Level = 0.95): Limits | null {
  const k = (quantileOf(line, level) * line.residualSd) ** 2;
  const height = line.intercept + line.slope * line.xMean - y;
  // In u = x - mean: (b^2 - k/Sxx) u^2 + 2 b height u + height^2 - k (1/w [+ 1]).
  const a = line.slope ** 2 - k / line.xSquares;
  if (!(a > 0)) return null;
  const half = line.slope * height;
  const c = height ** 2 - k * (1 / line.weight + (of === 'new point' ? 1 : 0));
  const root = Math.sqrt(Math.max(0, half ** 2 - a * c));
  const [low, high] = [line.xMean + (-half - root) / a, line.xMean + (-half + root) / a];
  return Number.isFinite(low) && Number.isFinite(high)
    ? { estimate: line.xMean - height / line.slope, low, high }
    : null;
}
