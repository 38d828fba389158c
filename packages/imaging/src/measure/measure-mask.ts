import type { GreyRaster } from '../raster.js';
import { maskOutlines, type MaskPatch } from './mask-outlines.js';
import { measureOutline, type OutlineMeasures } from './measure-outline.js';

/** A patch of a mask with its measures. */
export interface MeasuredPatch extends MaskPatch {
  readonly measures: OutlineMeasures;
}

/**
 * Measures every connected patch of a plain mask, in the order of their first pixel, row by row. Holes are filled first.
 *
 * @param mask pixels from 128 on are inside; when there are only 0 and one other value, that one
 */
export function measureMask(mask: GreyRaster): MeasuredPatch[] {
  return maskOutlines(mask).map((patch) => ({ ...patch, measures: measureOutline(patch.outline) }));
}
