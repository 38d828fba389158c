import { connectedComponents } from '../cv/connected-components.js';
import type { GreyRaster, Outline } from '../raster.js';
import { smoothStaircase } from './smooth-staircase.js';
import { tracePatch } from './trace-patch.js';

/** One connected patch of a mask. */
export interface MaskPatch {
  /** Outer outline in pixels, clockwise on the screen; holes are filled. */
  readonly outline: Outline;
  /** Pixels of the patch, holes not counted. */
  readonly pixels: number;
}

/**
 * Sub-pixel outlines of the patches of a mask in the order of their first pixel, row by row; none for an empty mask.
 * Pixels from 128 on are inside and belong together when they share a side or a corner.
 *
 * A grey (antialiased) mask is cut at half of 255, straight between pixels (marching squares). A mask of 0 and one other
 * value is read as two levels, and its staircase is smoothed, see `smoothStaircase`.
 */
export function maskOutlines(mask: GreyRaster): MaskPatch[] {
  const twoLevels = hasTwoLevels(mask.data);
  const inside: GreyRaster = { ...mask, data: new Uint8Array(mask.data.length) };
  for (let pos = 0; pos < mask.data.length; pos++) {
    inside.data[pos] = mask.data[pos] >= (twoLevels ? 1 : 128) ? 255 : 0;
  }
  const { labels, count, areas, boxes } = connectedComponents(inside);
  const source = twoLevels ? inside : mask;
  const starts = Array.from({ length: count }, (_, index) => {
    // The first pixel with the patch's label in its uppermost row.
    const [left, top] = [boxes[4 * index + 4], boxes[4 * index + 5]];
    return labels.indexOf(index + 1, top * mask.width + left);
  });
  return starts
    .sort((a, b) => a - b)
    .map((start) => {
      const outline = tracePatch(source, labels, start % mask.width, Math.floor(start / mask.width));
      return { outline: twoLevels ? smoothStaircase(outline) : outline, pixels: areas[labels[start]] };
    });
}

/** Whether the values are 0 and at most one other. */
function hasTwoLevels(data: Uint8Array): boolean {
  let other = 0;
  for (const value of data) {
    if (value === 0 || value === other) continue;
    if (other !== 0) return false;
    other = value;
  }
  return true;
}
