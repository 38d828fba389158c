import type { Outline } from '../raster.js';

/**
 * Length of a closed outline in pixels, the last point joined to the first: the perimeter P of ISO 9276-6. 0 for fewer
 * than two points. It is as good as the outline is smooth: noise of the points makes it too long.
 */
export function perimeter(outline: Outline): number {
  const size = outline.length;
  if (size < 4) return 0;
  let length = 0;
  let ax = outline[size - 2];
  let ay = outline[size - 1];
  for (let pos = 0; pos < size; pos += 2) {
    const bx = outline[pos];
    const by = outline[pos + 1];
    length += Math.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay));
    ax = bx;
    ay = by;
  }
  return length;
}
