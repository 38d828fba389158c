/** A logistic curve p = 1/(1 + exp(-(intercept + slope x))). */
export interface LogisticFit {
  readonly intercept: number;
  readonly slope: number;
  readonly interceptSe: number;
  readonly slopeSe: number;
  /** The x of p = 1/2 with its standard error by the delta method. */
  readonly halfWay: number;
  readonly halfWaySe: number;
}

/** Sums of one Newton step: slopes of the log-likelihood and its curvature. */
interface Step {
  readonly g0: number;
  readonly g1: number;
  readonly i00: number;
  readonly i01: number;
  readonly i11: number;
}

const MOST_STEPS = 100;

/**
 * Logistic regression of a part on one variable by maximum likelihood (Newton's method, x centred and scaled).
 *
 * @param xs values
 * @param parts part kept at each x, 0 to 1
 * @param weights number tried at each x
 * @returns null when it does not settle, as when the two sides do not overlap
 */
export function fitLogistic(
  xs: readonly number[],
  parts: readonly number[],
  weights: readonly number[],
): LogisticFit | null {
  const middle = xs.reduce((a, b) => a + b, 0) / xs.length;
  const scale = Math.max(...xs.map((x) => Math.abs(x - middle)));
  if (!(scale > 0)) return null;
  const zs = xs.map((x) => (x - middle) / scale);
  let [a, b] = [0, 0];
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const { g0, g1, i00, i01, i11 } = sums(zs, parts, weights, (z) => 1 / (1 + Math.exp(-(a + b * z))));
    const determinant = i00 * i11 - i01 * i01;
    if (!(determinant > 1e-12 * i00 * i11)) return null;
    const [da, db] = [(i11 * g0 - i01 * g1) / determinant, (i00 * g1 - i01 * g0) / determinant];
    a += da;
    b += db;
    if (Math.abs(da) + Math.abs(db) < 1e-10 * (1 + Math.abs(a) + Math.abs(b))) {
      return asFitted(
        { a, b, middle, scale },
        { va: i11 / determinant, vb: i00 / determinant, vab: -i01 / determinant },
      );
    }
  }
  return null;
}

function sums(
  zs: readonly number[],
  parts: readonly number[],
  weights: readonly number[],
  curve: (z: number) => number,
): Step {
  let [g0, g1, i00, i01, i11] = [0, 0, 0, 0, 0];
  for (const [i, z] of zs.entries()) {
    const p = curve(z);
    const w = weights[i] ?? 0;
    const off = w * ((parts[i] ?? 0) - p);
    const spread = w * p * (1 - p);
    g0 += off;
    g1 += off * z;
    i00 += spread;
    i01 += spread * z;
    i11 += spread * z * z;
  }
  return { g0, g1, i00, i01, i11 };
}

/** Back to the scale of x. */
function asFitted(
  { a, b, middle, scale }: { readonly a: number; readonly b: number; readonly middle: number; readonly scale: number },
  { va, vb, vab }: { readonly va: number; readonly vb: number; readonly vab: number },
): LogisticFit {
  const slope = b / scale;
  const lever = middle / scale;
  const half = -a / b;
  return {
    intercept: a - slope * middle,
    slope,
    interceptSe: Math.sqrt(Math.max(0, va + lever * lever * vb - 2 * lever * vab)),
    slopeSe: Math.sqrt(vb) / scale,
    halfWay: middle + scale * half,
    halfWaySe: (scale / Math.abs(b)) * Math.sqrt(Math.max(0, va + half * half * vb + 2 * half * vab)),
  };
}
