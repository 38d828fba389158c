import type { Outline } from '../raster.js';

/**
 * Area inside a closed outline in square pixels (shoelace formula), above 0 when it runs clockwise on the screen, below
 * 0 when counter-clockwise, 0 for fewer than three points.
 */
export function signedArea(outline: Outline): number {
  const size = outline.length;
  if (size < 6) return 0;
  // Relative to the first point, so that nothing cancels far from the picture's corner.
  const originX = outline[0];
  const originY = outline[1];
  let twice = 0;
  let ax = outline[size - 2] - originX;
  let ay = outline[size - 1] - originY;
  for (let pos = 0; pos < size; pos += 2) {
    const bx = outline[pos] - originX;
    const by = outline[pos + 1] - originY;
    twice += ax * by - bx * ay;
    ax = bx;
    ay = by;
  }
  return twice / 2;
}
