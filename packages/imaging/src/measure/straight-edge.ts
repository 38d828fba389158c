import type { Outline } from '../raster.js';
import { foldAxis } from './fold-axis.js';
import { resampleOutline } from './resample-outline.js';

export interface StraightEdgeOptions {
  /** Only edges within `withinRad` of this direction count, in radians clockwise from x. Default: every direction. */
  readonly aboutRad?: number;
  /** Greatest angle to `aboutRad` in radians, 0..pi/2. Default 15 degrees. */
  readonly withinRad?: number;
  /** Shortest edge that counts, as a share of the outline's greatest Feret diameter, above 0. Default 0.38. */
  readonly shortest?: number;
  /**
   * How far the points of a straight edge may stray from their line (root mean square), as a share of the greatest
   * Feret diameter. A circle's arc strays that far over `sqrt(13.4 * straightness)` of its diameter: 0.28 of it with the
   * default 0.006, which is why round eggs have no straight edge.
   */
  readonly straightness?: number;
}

export interface StraightEdge {
  /** Middle of the edge in pixels. */
  readonly x: number;
  readonly y: number;
  /** Direction in radians clockwise from x, 0 up to, not including, pi. */
  readonly axisRad: number;
  /** Length in pixels, to within about 1 % of the perimeter. */
  readonly lengthPx: number;
}

/** Points along the outline among which edges are sought. */
const POINTS = 128;

/**
 * Longest straight edge of an outline, as the hinge of a straight-hinge larva is, or null when there is none: the
 * longest run of the outline whose points keep to their least-squares line. ISO 9276-6 has no such measure.
 *
 * @param outline closed outline of three points or more
 * @param maxFeretPx its greatest Feret diameter in pixels, above 0
 */
export function straightEdge(
  outline: Outline,
  maxFeretPx: number,
  options: StraightEdgeOptions = {},
): StraightEdge | null {
  const { aboutRad, withinRad = Math.PI / 12, shortest = 0.38, straightness = 0.006 } = options;
  const sums = runningSums(resampleOutline(outline, POINTS));
  const tolerance = (straightness * maxFeretPx) ** 2;
  let best: StraightEdge | null = null;
  // Runs only count when they have more points than the best so far, so both ends only move on.
  let points = 3;
  for (let first = 0; first < POINTS; first++) {
    for (; points < POINTS / 2; points++) {
      const line = fitLine(sums, first, points);
      if (line.spread > tolerance) break;
      if (aboutRad !== undefined && angleBetween(line.axisRad, aboutRad) > withinRad) break;
      best = { x: line.x, y: line.y, axisRad: line.axisRad, lengthPx: line.lengthPx };
    }
  }
  return best !== null && best.lengthPx >= shortest * maxFeretPx ? best : null;
}

/** Angle between two axes in radians, 0..pi/2. */
function angleBetween(a: number, b: number): number {
  const angle = foldAxis(a - b);
  return Math.min(angle, Math.PI - angle);
}

/** Sums of x, y, xx, xy, yy (relative to the first point) over the points before each one, twice round the outline. */
function runningSums(points: Outline): Float64Array {
  const sums = new Float64Array(5 * (2 * POINTS + 1) + 2);
  const [originX, originY] = points;
  for (let index = 0; index < 2 * POINTS; index++) {
    const pos = 2 * (index % POINTS);
    const x = points[pos] - originX;
    const y = points[pos + 1] - originY;
    const at = 5 * index;
    sums[at + 5] = sums[at] + x;
    sums[at + 6] = sums[at + 1] + y;
    sums[at + 7] = sums[at + 2] + x * x;
    sums[at + 8] = sums[at + 3] + x * y;
    sums[at + 9] = sums[at + 4] + y * y;
  }
  sums[sums.length - 2] = originX;
  sums[sums.length - 1] = originY;
  return sums;
}

interface Line {
  readonly x: number;
  readonly y: number;
  readonly axisRad: number;
  /** Mean square distance of the points from the line in square pixels. */
  readonly spread: number;
  readonly lengthPx: number;
}

/** Least-squares line through a run of points at equal steps (distances across the line). */
function fitLine(sums: Float64Array, first: number, points: number): Line {
  const [low, high] = [5 * first, 5 * (first + points)];
  const x = (sums[high] - sums[low]) / points;
  const y = (sums[high + 1] - sums[low + 1]) / points;
  const xx = (sums[high + 2] - sums[low + 2]) / points - x * x;
  const xy = (sums[high + 3] - sums[low + 3]) / points - x * y;
  const yy = (sums[high + 4] - sums[low + 4]) / points - y * y;
  const half = (xx + yy) / 2;
  const root = Math.sqrt(((xx - yy) / 2) ** 2 + xy * xy);
  return {
    x: x + sums[sums.length - 2],
    y: y + sums[sums.length - 1],
    axisRad: foldAxis(Math.atan2(2 * xy, xx - yy) / 2),
    spread: Math.max(0, half - root),
    // Points at equal steps d along a line of length (n - 1) d have the variance d^2 (n^2 - 1) / 12.
    lengthPx: Math.sqrt((12 * (half + root) * (points - 1)) / (points + 1)),
  };
}
