import type { Outline } from '../raster.js';

/** Distance in pixels from a place to the edge of the nearest ruled line; 0 or less on the line. */
export type DistanceToLine = (x: number, y: number) => number;

/**
 * Whether a ruled line meets an object: a point of the outline lies on one, or one passes between two points. Distances
 * grow by no more than the way gone, so two neighbours whose distances add up to more than the way between them have no
 * line between them.
 *
 * @param outline closed outline whose points are not much farther apart than a line is wide
 */
export function isOnLine(outline: Outline, distanceToLine: DistanceToLine): boolean {
  const size = outline.length;
  let ax = outline[size - 2];
  let ay = outline[size - 1];
  let before = distanceToLine(ax, ay);
  for (let pos = 0; pos < size; pos += 2) {
    const bx = outline[pos];
    const by = outline[pos + 1];
    const here = distanceToLine(bx, by);
    if (here <= 0 || Math.max(0, before) + here <= Math.sqrt((bx - ax) ** 2 + (by - ay) ** 2)) return true;
    ax = bx;
    ay = by;
    before = here;
  }
  return false;
}
