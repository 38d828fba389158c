import type { Outline } from '../raster.js';

/**
 * Convex hull of the points of an outline, clockwise on the screen, from the leftmost point on; points on a straight
 * side are left out. The outline may cross itself. One point stays one, points on a line give their two ends.
 *
 * Method: A. M. Andrew, "Another efficient algorithm for convex hulls in two dimensions", Information Processing
 * Letters 9 (1979) 216-219, doi:10.1016/0020-0190(79)90072-3.
 */
export function convexHull(outline: Outline): Outline {
  const count = outline.length >> 1;
  if (count === 0) return new Float64Array(0);
  // A plain array, as its sort makes use of the long rising and falling runs that an outline has.
  const order: number[] = [];
  for (let index = 0; index < count; index++) order.push(2 * index);
  order.sort((a, b) => outline[a] - outline[b] || outline[a + 1] - outline[b + 1]);

  const hull = new Float64Array(2 * count + 2);
  // Upper side from left to right, then the lower one back: clockwise with y down.
  let size = chain(outline, order, hull, 0);
  order.reverse();
  size = chain(outline, order, hull, size - 2);
  // The last point is the first one again, unless there is only one.
  return hull.slice(0, Math.max(2, size - 2));
}

/**
 * Appends one side of the hull after `start` numbers of `hull` and returns the numbers then in it. Points are positions
 * in `outline`, sorted along the side.
 */
function chain(outline: Outline, order: readonly number[], hull: Float64Array, start: number): number {
  let size = start;
  for (const pos of order) {
    const x = outline[pos];
    const y = outline[pos + 1];
    // Drop points that would make a left turn or none.
    while (
      size >= start + 4 &&
      (hull[size - 2] - hull[size - 4]) * (y - hull[size - 3]) <=
        (hull[size - 1] - hull[size - 3]) * (x - hull[size - 4])
    ) {
      size -= 2;
    }
    if (size > start && hull[size - 2] === x && hull[size - 1] === y) continue;
    hull[size++] = x;
    hull[size++] = y;
  }
  return size;
}
