import type { GreyRaster, Outline } from '../raster.js';
import { maskOutlines } from './mask-outlines.js';

/**
 * Sub-pixel outline of the largest patch of a mask (the first of them when two are equal), or null when nothing is
 * inside. How it is drawn: `maskOutlines`.
 *
 * @param mask pixels from 128 on are inside; when there are only 0 and one other value, that one
 */
export function outlineOfMask(mask: GreyRaster): Outline | null {
  let largest: { readonly outline: Outline; readonly pixels: number } | null = null;
  for (const patch of maskOutlines(mask)) {
    if (largest === null || patch.pixels > largest.pixels) largest = patch;
  }
  return largest?.outline ?? null;
}
