import type { Outline } from '../raster.js';
import { foldAxis } from './fold-axis.js';

/** Greatest and least distance between two parallel lines that touch the outline from both sides. */
export interface Feret {
  /** Greatest Feret diameter in pixels (x_Fmax of ISO 9276-6); 0 for fewer than two points. */
  readonly maxPx: number;
  /** Direction of the greatest one in radians clockwise from x, 0 up to, not including, pi. */
  readonly maxAxisRad: number;
  /** Least Feret diameter in pixels (x_Fmin of ISO 9276-6); 0 when all points lie on a line. */
  readonly minPx: number;
  /** Direction across which the least one is measured, in radians clockwise from x, 0 up to, not including, pi. */
  readonly minAxisRad: number;
}

/**
 * Feret diameters of a convex outline (see `convexHull`) by turning two parallel lines round it (rotating calipers):
 * the least lies across one of its sides, the greatest between two of its corners. Exact.
 *
 * Method: G. Toussaint, "Solving geometric problems with the rotating calipers", IEEE MELECON (1983); from memory.
 *
 * @param hull convex, clockwise on the screen, without points that repeat
 */
export function feret(hull: Outline): Feret {
  const size = hull.length;
  if (size < 4) return { maxPx: 0, maxAxisRad: 0, minPx: 0, minAxisRad: 0 };
  let greatest = -1;
  let greatestFrom = 0;
  let greatestTo = 0;
  let least = Infinity;
  let leastSide = 0;
  let far = farthestFromFirstSide(hull);
  for (let pos = 0; pos < size; pos += 2) {
    const next = (pos + 2) % size;
    // The corner farthest from this side; it only ever moves on.
    let height = heightOver(hull, pos, next, far);
    let after = (far + 2) % size;
    for (;;) {
      const heightAfter = heightOver(hull, pos, next, after);
      // written so that numbers that are not numbers end the walk too
      if (!(heightAfter > height)) break;
      height = heightAfter;
      far = after;
      after = (far + 2) % size;
    }
    // The corner after it counts too, in case the side there is parallel to this one.
    for (let pair = 0; pair < 4; pair++) {
      const from = pair < 2 ? pos : next;
      const to = pair % 2 === 0 ? far : after;
      const squared = (hull[to] - hull[from]) ** 2 + (hull[to + 1] - hull[from + 1]) ** 2;
      if (squared > greatest) {
        greatest = squared;
        greatestFrom = from;
        greatestTo = to;
      }
    }
    const side = Math.sqrt((hull[next] - hull[pos]) ** 2 + (hull[next + 1] - hull[pos + 1]) ** 2);
    if (height < least * side) {
      least = height / side;
      leastSide = pos;
    }
  }
  const across = (leastSide + 2) % size;
  return {
    maxPx: Math.sqrt(greatest),
    maxAxisRad: axisOf(hull[greatestTo] - hull[greatestFrom], hull[greatestTo + 1] - hull[greatestFrom + 1]),
    minPx: Math.max(0, least),
    minAxisRad: axisOf(hull[leastSide + 1] - hull[across + 1], hull[across] - hull[leastSide]),
  };
}

const axisOf = (dx: number, dy: number): number => foldAxis(Math.atan2(dy, dx));

/** Distance of a corner from the side between two others, times the length of the side; above 0 inwards. */
function heightOver(hull: Outline, from: number, to: number, corner: number): number {
  const ax = hull[from];
  const ay = hull[from + 1];
  return (hull[to] - ax) * (hull[corner + 1] - ay) - (hull[to + 1] - ay) * (hull[corner] - ax);
}

/** Corner farthest from the side between the first two; the calipers start there. */
function farthestFromFirstSide(hull: Outline): number {
  let far = 0;
  for (let pos = 2; pos < hull.length; pos += 2) {
    if (heightOver(hull, 0, 2, pos) > heightOver(hull, 0, 2, far)) far = pos;
  }
  return far;
}
