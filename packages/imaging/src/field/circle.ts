/** Circle in pixels. */
export interface Circle {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

/** Points as two lists of one length. */
export interface Points {
  readonly xs: readonly number[];
  readonly ys: readonly number[];
}

/** Weights fall to nothing at this many robust standard deviations (Tukey's biweight, 95 % efficient for normal errors). */
const TUKEY = 4.685;
/** Median absolute deviation to standard deviation for normal errors. */
const MAD_TO_SIGMA = 1.4826;
const ROUNDS = 25;

/** Circle through three points, or null when they lie on a line. */
export function circleThrough(points: Points, a: number, b: number, c: number): Circle | null {
  const { xs, ys } = points;
  const bx = xs[b] - xs[a];
  const by = ys[b] - ys[a];
  const cx = xs[c] - xs[a];
  const cy = ys[c] - ys[a];
  const twice = 2 * (bx * cy - by * cx);
  if (Math.abs(twice) < 1e-9) return null;
  const bb = bx * bx + by * by;
  const cc = cx * cx + cy * cy;
  const x = (cy * bb - by * cc) / twice;
  const y = (bx * cc - cx * bb) / twice;
  return { x: xs[a] + x, y: ys[a] + y, radius: Math.hypot(x, y) };
}

/** Solves the symmetric 3 x 3 system by Cramer's rule; null when it has no single answer. */
function solve3(m: Float64Array, r: Float64Array): readonly [number, number, number] | null {
  const det = (a: number[]): number =>
    a[0] * (a[4] * a[8] - a[5] * a[7]) - a[1] * (a[3] * a[8] - a[5] * a[6]) + a[2] * (a[3] * a[7] - a[4] * a[6]);
  const base = [...m];
  const d = det(base);
  if (Math.abs(d) < 1e-12) return null;
  const replaced = (column: number): number =>
    det(base.map((value, i) => (i % 3 === column ? r[Math.floor(i / 3)] : value))) / d;
  return [replaced(0), replaced(1), replaced(2)];
}

/** One Gauss-Newton step on the weighted distances to the circle. */
function step(points: Points, circle: Circle, weights: Float64Array): Circle {
  const m = new Float64Array(9);
  const r = new Float64Array(3);
  for (let i = 0; i < points.xs.length; i++) {
    const dx = points.xs[i] - circle.x;
    const dy = points.ys[i] - circle.y;
    const distance = Math.hypot(dx, dy) || 1;
    const slope = [dx / distance, dy / distance, 1];
    for (let j = 0; j < 3; j++) {
      r[j] += weights[i] * slope[j] * (distance - circle.radius);
      for (let k = 0; k < 3; k++) m[3 * j + k] += weights[i] * slope[j] * slope[k];
    }
  }
  const move = solve3(m, r);
  return move === null ? circle : { x: circle.x + move[0], y: circle.y + move[1], radius: circle.radius + move[2] };
}

function distances(points: Points, circle: Circle): Float64Array {
  return Float64Array.from(points.xs, (x, i) => Math.hypot(x - circle.x, points.ys[i] - circle.y) - circle.radius);
}

/**
 * Fits a circle to points by geometric least squares that ignore outliers: Gauss-Newton steps, each point weighted by
 * Tukey's biweight of its distance over the robust spread (Holland and Welsch 1977, doi:10.1080/03610927708827533).
 *
 * @param points three or more; fewer give the start back
 * @param start circle to begin with, near enough that most points are its own
 */
export function fitCircle(points: Points, start: Circle): Circle {
  if (points.xs.length < 3) return start;
  let circle = start;
  for (let round = 0; round < ROUNDS; round++) {
    const errors = distances(points, circle);
    const spread = median(errors.map(Math.abs)) * MAD_TO_SIGMA;
    const reach = TUKEY * Math.max(spread, 0.05);
    const weights = errors.map((error) => (Math.abs(error) < reach ? (1 - (error / reach) ** 2) ** 2 : 0));
    const next = step(points, circle, weights);
    const moved = Math.hypot(next.x - circle.x, next.y - circle.y) + Math.abs(next.radius - circle.radius);
    circle = next;
    if (moved < 1e-4) break;
  }
  return circle;
}

function median(values: Float64Array): number {
  const sorted = values.slice().sort();
  return sorted[sorted.length >> 1];
}
