import type { Outline } from '../raster.js';

/**
 * Extent of an outline along a direction in pixels: the Feret diameter x_F of ISO 9276-6 in that direction, the distance
 * of the two lines across it that touch the outline. 0 without points.
 *
 * @param axisRad direction in radians clockwise from x
 */
export function extentAlong(outline: Outline, axisRad: number): number {
  if (outline.length === 0) return 0;
  const cos = Math.cos(axisRad);
  const sin = Math.sin(axisRad);
  let low = Infinity;
  let high = -Infinity;
  for (let pos = 0; pos < outline.length; pos += 2) {
    const along = outline[pos] * cos + outline[pos + 1] * sin;
    if (along < low) low = along;
    if (along > high) high = along;
  }
  return high - low;
}
