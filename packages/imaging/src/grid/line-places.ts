import { fitLine } from '../scale/fit-line.js';
import type { NumberedLine } from './fit-geometry.js';
import { pxToGrid, type GridGeometry } from './grid-geometry.js';

/**
 * How lines lie against the geometry that was fitted to them all: how far each is from its place, and whether both families have the
 * same pitch, which the geometry takes for granted.
 *
 * @param pitchPx pitch, pixels
 */
export function linePlaces(
  geometry: GridGeometry,
  lines: readonly NumberedLine[],
  pitchPx: number,
): { readonly lineResidualPx: number; readonly pitchRatio: number | null } {
  const places = lines.map((line) => ({ ...line, place: meanPlace(geometry, line) }));
  const squares = places.reduce((sum, { place, number }) => sum + (place - number) ** 2, 0);
  const [first, second] = [true, false].map((wanted) => {
    const family = places.filter((line) => line.first === wanted);
    if (family.length < 2) return null;
    return fitLine(
      family.map(({ number }) => number),
      family.map(({ place }) => place),
    ).slope;
  });
  return {
    lineResidualPx: pitchPx * Math.sqrt(squares / places.length),
    pitchRatio: first === null || second === null ? null : first / second,
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
