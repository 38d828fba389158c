import { fitLine } from '../scale/fit-line.js';
import type { NumberedLine } from './fit-geometry.js';
import { pxToGrid, type GridGeometry } from './grid-geometry.js';

/**
 * How lines lie against the geometry that was fitted to them all: how evenly those of each family are spaced, and whether both families
 * have the same pitch, which the geometry takes for granted.
 *
 * @param pitchPx pitch, pixels
 */
export function linePlaces(
  geometry: GridGeometry,
  lines: readonly NumberedLine[],
  pitchPx: number,
): { readonly lineResidualPx: number; readonly pitchRatio: number | null } {
  const families = [true, false].map((wanted) => {
    const family = lines.filter((line) => line.first === wanted);
    if (family.length < 2) return null;
    const numbers = family.map(({ number }) => number);
    const places = family.map((line) => meanPlace(geometry, line));
    const { intercept, slope } = fitLine(numbers, places);
    return { slope, misses: places.map((place, k) => place - intercept - slope * (numbers[k] ?? 0)) };
  });
  const [first, second] = families;
  const misses = families.flatMap((family) => family?.misses ?? []);
  const squares = misses.reduce((sum, miss) => sum + miss * miss, 0);
  return {
    lineResidualPx: pitchPx * Math.sqrt(squares / Math.max(1, misses.length)),
    pitchRatio: !first || !second ? null : second.slope / first.slope / (1 + geometry.stretch),
  };
}

/** Mean grid coordinate of a line's points. */
function meanPlace(geometry: GridGeometry, line: NumberedLine): number {
  let sum = 0;
  for (let i = 0; i < line.points.length; i += 2) {
    const [u, v] = pxToGrid(geometry, line.points[i], line.points[i + 1]);
    sum += line.first ? u : v;
  }
  return sum / (line.points.length / 2);
}
