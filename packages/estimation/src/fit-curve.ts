import { Matrix, solve } from 'ml-matrix';
import { sum } from './moments.js';

/** A curve with its slopes. */
export interface Curve {
  readonly value: (x: number, parameters: readonly number[]) => number;
  /** Derivative by each parameter. */
  readonly slopes: (x: number, parameters: readonly number[]) => number[];
}

/** Parameters fitted by least squares. */
export interface FittedCurve {
  readonly parameters: readonly number[];
  readonly standardErrors: readonly number[];
  /** Covariance of the parameters, row by row. */
  readonly covariance: readonly (readonly number[])[];
  readonly residualSd: number;
  readonly residualSquares: number;
  readonly degreesOfFreedom: number;
}

const squaresOf = (curve: Curve, xs: readonly number[], ys: readonly number[], p: readonly number[]): number =>
  sum(xs.map((x, i) => ((ys[i] ?? 0) - curve.value(x, p)) ** 2));

/** J'J and J'r at the parameters. */
function normalEquations(
  curve: Curve,
  xs: readonly number[],
  ys: readonly number[],
  p: readonly number[],
): {
  readonly matrix: Matrix;
  readonly right: Matrix;
} {
  const slopes = new Matrix(xs.map((x) => curve.slopes(x, p)));
  const residuals = Matrix.columnVector(xs.map((x, i) => (ys[i] ?? 0) - curve.value(x, p)));
  return { matrix: slopes.transpose().mmul(slopes), right: slopes.transpose().mmul(residuals) };
}

/** One damped step; the parameters after it. */
function step({ matrix, right }: ReturnType<typeof normalEquations>, p: readonly number[], damping: number): number[] {
  const damped = matrix.clone();
  for (let i = 0; i < p.length; i += 1) damped.set(i, i, damped.get(i, i) * (1 + damping) + 1e-300);
  const change = solve(damped, right, true);
  return p.map((value, i) => value + change.get(i, 0));
}

const MOST_STEPS = 500;

/**
 * Least squares by Levenberg and Marquardt's method (Marquardt 1963).
 *
 * @param start parameters to begin with
 * @returns null when it does not come to rest, or there are no more points than parameters
 */
export function fitCurve(
  curve: Curve,
  { xs, ys }: { readonly xs: readonly number[]; readonly ys: readonly number[] },
  start: readonly number[],
): FittedCurve | null {
  if (xs.length <= start.length) return null;
  let p: readonly number[] = start;
  let squares = squaresOf(curve, xs, ys, p);
  let damping = 1e-3;
  for (let i = 0; i < MOST_STEPS && Number.isFinite(squares); i += 1) {
    const next = step(normalEquations(curve, xs, ys, p), p, damping);
    const after = squaresOf(curve, xs, ys, next);
    if (after <= squares) {
      const settled = next.every((value, k) => Math.abs(value - (p[k] ?? 0)) <= 1e-11 * (Math.abs(value) + 1e-11));
      [p, squares, damping] = [next, after, damping / 10];
      if (settled) return finish(curve, { xs, ys }, p);
    } else if (damping > 1e12) {
      return finish(curve, { xs, ys }, p);
    } else damping *= 10;
  }
  return null;
}

function finish(
  curve: Curve,
  { xs, ys }: { readonly xs: readonly number[]; readonly ys: readonly number[] },
  p: readonly number[],
): FittedCurve | null {
  const residualSquares = squaresOf(curve, xs, ys, p);
  const degreesOfFreedom = xs.length - p.length;
  const variance = residualSquares / degreesOfFreedom;
  const inverse = solve(normalEquations(curve, xs, ys, p).matrix, Matrix.eye(p.length), true);
  const covariance = inverse.mul(variance).to2DArray();
  const standardErrors = covariance.map((row, i) => Math.sqrt(row[i] ?? Number.NaN));
  if (![...p, ...standardErrors].every(Number.isFinite)) return null;
  return {
    parameters: p,
    standardErrors,
    covariance,
    residualSd: Math.sqrt(variance),
    residualSquares,
    degreesOfFreedom,
  };
}
