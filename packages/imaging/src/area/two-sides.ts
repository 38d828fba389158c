import type { Outline } from '../raster.js';

/** Whether a closed outline meets the segment from `from` to `to` of the line where coordinate `axis` (0: x, 1: y) is `at`. */
function meets(outline: Outline, axis: 0 | 1, at: number, [from, to]: readonly [number, number]): boolean {
  const n = outline.length;
  for (let pos = 0; pos < n; pos += 2) {
    const next = (pos + 2) % n;
    const [here, there] = [outline[pos + axis] - at, outline[next + axis] - at];
    if (here * there > 0 || here === there) continue;
    const share = here / (here - there);
    const other = outline[pos + 1 - axis] + share * (outline[next + 1 - axis] - outline[pos + 1 - axis]);
    if (other >= from && other <= to) return true;
  }
  return false;
}

function touches(outline: Outline, column: number, row: number): boolean {
  for (let pos = 0; pos < outline.length; pos += 2) {
    const [x, y] = [outline[pos] - column, outline[pos + 1] - row];
    if (x >= 0 && y >= 0 && x <= 1 && y <= 1) return true;
  }
  return (
    meets(outline, 0, column, [row, row + 1]) ||
    meets(outline, 0, column + 1, [row, row + 1]) ||
    meets(outline, 1, row, [column, column + 1]) ||
    meets(outline, 1, row + 1, [column, column + 1])
  );
}

/**
 * The unit square that an object belongs to by the two-sides rule: it touches the square and neither its left nor its
 * top side, nor what prolongs the left side downwards and the right side upwards. Without the prolongations a corner
 * would be counted twice (Gundersen 1977, J. Microsc. 111:219, from memory; the two sides as in EN 15204).
 *
 * @param outline closed outline in units of the square's side; smaller than a square
 * @returns column and row of the square: exactly one of all
 */
export function twoSidesSquare(outline: Outline): readonly [number, number] | null {
  const xs = outline.filter((_, k) => k % 2 === 0);
  const ys = outline.filter((_, k) => k % 2 === 1);
  const [firstColumn, lastColumn] = [Math.floor(Math.min(...xs)), Math.floor(Math.max(...xs))];
  const [firstRow, lastRow] = [Math.floor(Math.min(...ys)), Math.floor(Math.max(...ys))];
  for (let row = firstRow; row <= lastRow; row++) {
    for (let column = firstColumn; column <= lastColumn; column++) {
      const forbidden =
        meets(outline, 0, column, [row, Infinity]) ||
        meets(outline, 1, row, [column, column + 1]) ||
        meets(outline, 0, column + 1, [-Infinity, row]);
      if (!forbidden && touches(outline, column, row)) return [column, row];
    }
  }
  return null;
}
