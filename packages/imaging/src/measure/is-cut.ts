import type { Outline } from '../raster.js';
import { roomAround, type Bounds } from './in-field.js';

/** Outlines that come this close to the end of the picture, in pixels, may go on beyond it: what a rim is good to. */
export const CLEARANCE_PX = 0.25;

/**
 * Whether an object may be cut: a point of its outline lies within a quarter of a pixel of the outermost pixels, beyond them, or beyond
 * 0.985 of a round field's radius, where the eyepiece's rim begins to shade.
 */
export function isCut(outline: Outline, bounds: Bounds): boolean {
  for (let pos = 0; pos < outline.length; pos += 2) {
    const [x, y] = [outline[pos], outline[pos + 1]];
    if (roomAround(bounds, x, y) < 0) return true;
    if (Math.min(x, y, bounds.width - 1 - x, bounds.height - 1 - y) < CLEARANCE_PX) return true;
  }
  return false;
}
