/** Maps (x, y) of one photo to (a x + b y + c, d x + e y + f) of another, in pixels of each. */
export interface Affine {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

/** A point of one photo and the same point of another. */
export interface PointPair {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
}

/** The map that changes nothing. */
export const IDENTITY: Affine = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 };

/** Where a point comes to lie. */
export const applied = ({ a, b, c, d, e, f }: Affine, x: number, y: number): [number, number] => [
  a * x + b * y + c,
  d * x + e * y + f,
];

/** First `first`, then `second`. */
export function chained(first: Affine, second: Affine): Affine {
  const { a, b, d, e } = second;
  const [c, f] = applied(second, first.c, first.f);
  return {
    a: a * first.a + b * first.d,
    b: a * first.b + b * first.e,
    c,
    d: d * first.a + e * first.d,
    e: d * first.b + e * first.e,
    f,
  };
}

/** The way back. */
export function inverse({ a, b, c, d, e, f }: Affine): Affine {
  const determinant = a * e - b * d;
  const turned = { a: e / determinant, b: -b / determinant, d: -d / determinant, e: a / determinant };
  return { ...turned, c: -(turned.a * c + turned.b * f), f: -(turned.d * c + turned.e * f) };
}

/** Growth of lengths, root of that of areas. */
export const scaleOf = ({ a, b, d, e }: Affine): number => Math.sqrt(Math.abs(a * e - b * d));

const middleOf = (points: readonly (readonly [number, number])[]): [number, number] => [
  points.reduce((sum, [x]) => sum + x, 0) / points.length,
  points.reduce((sum, [, y]) => sum + y, 0) / points.length,
];

/**
 * Turn, growth and shift by least squares.
 *
 * @param pairs two or more, not all at one place
 */
export function fitSimilarity(pairs: readonly PointPair[]): Affine {
  const [fromX, fromY] = middleOf(pairs.map(({ from }) => from));
  const [toX, toY] = middleOf(pairs.map(({ to }) => to));
  let [along, across, square] = [0, 0, 0];
  for (const { from, to } of pairs) {
    const [x, y] = [from[0] - fromX, from[1] - fromY];
    const [u, v] = [to[0] - toX, to[1] - toY];
    along += x * u + y * v;
    across += x * v - y * u;
    square += x * x + y * y;
  }
  const [cos, sin] = [along / square, across / square];
  return { a: cos, b: -sin, c: toX - cos * fromX + sin * fromY, d: sin, e: cos, f: toY - sin * fromX - cos * fromY };
}

/** The map that makes all lengths `factor` times as long. */
export const scaled = (factor: number): Affine => ({ ...IDENTITY, a: factor, e: factor });
