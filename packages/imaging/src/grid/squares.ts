import type { Field, Square } from '@veligrid/model';
import { gridToPx, pxToGrid, type GridGeometry } from './grid-geometry.js';

/** Lines seen and how they lie: what is needed to tell squares apart. */
export interface RuledLines {
  readonly geometry: GridGeometry;
  /** Numbers of the lines seen across the first axis (u) and the second (v), rising. */
  readonly linesU: readonly number[];
  readonly linesV: readonly number[];
  /** Half the width of a line with its halo, pixels. */
  readonly lineHalfWidthPx: number;
  /** Whole squares between lines seen. */
  readonly squares: readonly Square[];
}

/** Column letters as on a sheet: A..Z, AA, AB ... */
function columnName(index: number): string {
  const letter = String.fromCharCode(65 + (index % 26));
  return index < 26 ? letter : columnName(Math.floor(index / 26) - 1) + letter;
}

/** Name of the square right below line numbers u and v, counted from the first lines seen. */
const squareName = (lines: Pick<RuledLines, 'linesU' | 'linesV'>, u: number, v: number): string =>
  `${columnName(u - lines.linesU[0])}${String(v - lines.linesV[0] + 1)}`;

/**
 * Whole squares between the outermost lines seen: all four corners in the picture and in the field. Named by column letter
 * (along the first axis, from A) and row number (along the second, from 1); corners clockwise from the least u and v.
 *
 * @param lines geometry and numbers of the lines seen
 * @param width width of the picture, pixels
 * @param height height of the picture, pixels
 * @param field usable part of the picture
 */
export function ruledSquares(
  lines: Pick<RuledLines, 'geometry' | 'linesU' | 'linesV'>,
  size: { readonly width: number; readonly height: number },
  field: Field,
): Square[] {
  const { geometry, linesU, linesV } = lines;
  const squares: Square[] = [];
  if (linesU.length < 2 || linesV.length < 2) return squares;
  for (let v = linesV[0]; v < linesV[linesV.length - 1]; v++) {
    for (let u = linesU[0]; u < linesU[linesU.length - 1]; u++) {
      const cornersPx = [
        gridToPx(geometry, u, v),
        gridToPx(geometry, u + 1, v),
        gridToPx(geometry, u + 1, v + 1),
        gridToPx(geometry, u, v + 1),
      ];
      if (cornersPx.every(([x, y]) => inside(x, y, size, field))) {
        squares.push({ name: squareName(lines, u, v), cornersPx });
      }
    }
  }
  return squares;
}

function inside(
  x: number,
  y: number,
  size: { readonly width: number; readonly height: number },
  field: Field,
): boolean {
  if (x < 0 || y < 0 || x > size.width - 1 || y > size.height - 1) return false;
  if (field.kind === 'frame') return true;
  return Math.hypot(x - field.centrePx[0], y - field.centrePx[1]) <= field.radiusPx;
}

/**
 * Name of the whole square that holds a point; a point on a line belongs to the square of greater u or v.
 *
 * @param x pixels
 * @param y pixels
 * @returns null outside all whole squares
 */
export function squareAt(lines: RuledLines, x: number, y: number): string | null {
  if (lines.squares.length === 0) return null;
  const [u, v] = pxToGrid(lines.geometry, x, y);
  const [column, row] = [Math.floor(u), Math.floor(v)];
  if (column < lines.linesU[0] || row < lines.linesV[0]) return null;
  const name = squareName(lines, column, row);
  return lines.squares.some((square) => square.name === name) ? name : null;
}

/**
 * Distance of a point from the middle of the nearest ruled line.
 *
 * @param x pixels
 * @param y pixels
 * @returns pixels, 0 and up; lines beyond the outermost ones seen do not count
 */
export function distanceToLine(
  lines: Pick<RuledLines, 'geometry' | 'linesU' | 'linesV'>,
  x: number,
  y: number,
): number {
  const { geometry, linesU, linesV } = lines;
  const [u, v] = pxToGrid(geometry, x, y);
  const distances = [Infinity];
  const nearestU = nearestLine(linesU, u);
  if (nearestU !== null) distances.push(distancePx(geometry, [x, y], [nearestU, v]));
  const nearestV = nearestLine(linesV, v);
  if (nearestV !== null) distances.push(distancePx(geometry, [x, y], [u, nearestV]));
  return Math.min(...distances);
}

const nearestLine = (lines: readonly number[], coordinate: number): number | null =>
  lines.length === 0 ? null : Math.max(lines[0], Math.min(lines[lines.length - 1], Math.round(coordinate)));

function distancePx(geometry: GridGeometry, px: readonly [number, number], grid: readonly [number, number]): number {
  const [x, y] = gridToPx(geometry, grid[0], grid[1]);
  return Math.hypot(x - px[0], y - px[1]);
}
