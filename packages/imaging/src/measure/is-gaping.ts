import type { Outline } from '../raster.js';
import type { LengthAxis } from './length-axis.js';
import type { OutlineMeasures } from './measure-outline.js';

/** Least depth of the notch between two valves that stand apart, as a share of the length. */
const DEPTH = 0.08;
/** Objects more solid than this have no notch worth looking for. */
const SOLID = 0.985;
/** The notch lies within this angle of the direction straight away from the hinge. */
const ABOUT_VENTRAL_RAD = Math.PI / 3;

/**
 * Whether the two valves of a shell stand apart: a notch of at least 8 % of the length in the margin away from the
 * hinge. On the safe side: valves that lie one upon the other, hardly displaced, show no notch and are not called gaping.
 * Where the hinge's place is not known, both sides across the length axis are looked at.
 *
 * The depth is measured from the convex hull; the limits are common sense, without a source.
 */
export function isGaping(
  outline: Outline,
  { x, y, hull, solidity }: Pick<OutlineMeasures, 'x' | 'y' | 'hull' | 'solidity'>,
  { axisRad, edge }: LengthAxis,
  lengthPx: number,
): boolean {
  if (solidity > SOLID) return false;
  // Unit vector across the axis, away from the hinge when there is one.
  let acrossX = -Math.sin(axisRad);
  let acrossY = Math.cos(axisRad);
  if (edge !== null && acrossX * (edge.x - x) + acrossY * (edge.y - y) > 0) {
    acrossX = -acrossX;
    acrossY = -acrossY;
  }
  const least = Math.cos(ABOUT_VENTRAL_RAD);
  for (let pos = 0; pos < outline.length; pos += 2) {
    const dx = outline[pos] - x;
    const dy = outline[pos + 1] - y;
    const towards = (dx * acrossX + dy * acrossY) / Math.sqrt(dx * dx + dy * dy);
    const isVentral = (edge === null ? Math.abs(towards) : towards) >= least;
    if (isVentral && depthBelow(hull, outline[pos], outline[pos + 1]) >= DEPTH * lengthPx) return true;
  }
  return false;
}

/** Distance in pixels from a point inside a convex hull to its nearest side. */
function depthBelow(hull: Outline, x: number, y: number): number {
  const size = hull.length;
  let depth = Infinity;
  let ax = hull[size - 2];
  let ay = hull[size - 1];
  for (let pos = 0; pos < size; pos += 2) {
    const sideX = hull[pos] - ax;
    const sideY = hull[pos + 1] - ay;
    const height = (sideX * (y - ay) - sideY * (x - ax)) / Math.sqrt(sideX * sideX + sideY * sideY);
    if (height < depth) depth = height;
    ax = hull[pos];
    ay = hull[pos + 1];
  }
  return depth;
}
