import type { PhotoCount } from '@veligrid/model';
import { Matrix, solve } from 'ml-matrix';

/** Pixels from a place to the nearest ruled line. */
export type LineDistance = (x: number, y: number) => number;

/** Column and row of a square's name, from 0: `C2` is (2, 1). */
function latticePlace(name: string): readonly [number, number] {
  const letters = /^[A-Z]+/.exec(name)?.[0] ?? 'A';
  const column = Array.from(letters).reduce((sum, letter) => 26 * sum + letter.charCodeAt(0) - 64, 0) - 1;
  return [column, Number(name.slice(letters.length)) - 1];
}

const CORNERS = [
  [0, 0],
  [1, 0],
  [1, 1],
  [0, 1],
] as const;

/**
 * Ruled lines as a lattice through the squares that were found, also where no square is whole.
 *
 * @returns a distance that is infinite where no lines are known
 */
export function lineDistance({ grid }: PhotoCount): LineDistance {
  const squares = grid?.squares ?? [];
  if (squares.length === 0) return () => Infinity;
  const seen = squares.flatMap(({ name, cornersPx }) => {
    const [column, row] = latticePlace(name);
    return cornersPx.map(([x, y], k) => ({ x, y, column: column + CORNERS[k][0], row: row + CORNERS[k][1] }));
  });
  // second order, as perspective and lens bend the lattice a little; a single square carries a plain one only
  const terms = (x: number, y: number): number[] =>
    squares.length < 3 ? [1, x / 1000, y / 1000] : [1, x / 1000, y / 1000, x * x * 1e-6, x * y * 1e-6, y * y * 1e-6];
  const left = new Matrix(seen.map(({ x, y }) => terms(x, y)));
  const right = new Matrix(seen.map(({ column, row }) => [column, row]));
  const factors = solve(left, right, true).to2DArray();
  const at = (x: number, y: number): readonly [number, number] => {
    const values = terms(x, y);
    return [0, 1].map((k) => values.reduce((sum, value, term) => sum + value * factors[term][k], 0)) as [
      number,
      number,
    ];
  };
  const [first] = squares;
  const side = Math.hypot(first.cornersPx[1][0] - first.cornersPx[0][0], first.cornersPx[1][1] - first.cornersPx[0][1]);
  return (x, y) => side * Math.min(...at(x, y).map((value) => Math.abs(value - Math.round(value))));
}
