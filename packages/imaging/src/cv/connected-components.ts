import { badArgument } from '@veligrid/model';
import type { GreyRaster } from '../raster.js';
import { checkPlane, toMat } from './plane.js';
import { inCvScope } from './scope.js';

export interface ConnectedComponentsOptions {
  /** 8: pixels that meet at a corner belong together; 4: only those that share an edge. Default 8. */
  readonly connectivity?: 4 | 8;
}

/** Patches of a mask. Entry 0 of every list is the background, entry k the patch whose pixels have label k. */
export interface Components {
  /** Label of each pixel, rows from the top; 0 is background. */
  readonly labels: Int32Array;
  /** Number of patches, background not counted. */
  readonly count: number;
  /** Pixels in each. */
  readonly areas: Int32Array;
  /** Left, top, width and height of each in pixels, four numbers an entry; boxes are half-open. */
  readonly boxes: Int32Array;
  /** Mean x and y of each, two numbers an entry; NaN for a background without pixels. */
  readonly centroids: Float64Array;
}

/**
 * Labels the connected patches of a mask; an empty mask has none. The same mask always gets the same labels, but their
 * order has no meaning.
 *
 * @param mask pixels other than 0 are inside
 */
export function connectedComponents(mask: GreyRaster, options: ConnectedComponentsOptions = {}): Components {
  const { connectivity = 8 } = options;
  checkPlane('mask', mask);
  if (![4, 8].includes(connectivity)) throw badArgument('connectivity', '4 or 8', connectivity);

  return inCvScope((cv, keep) => {
    const [labels, stats, centroids] = [keep(new cv.Mat()), keep(new cv.Mat()), keep(new cv.Mat())];
    const entries = cv.connectedComponentsWithStats(
      toMat(cv, keep, mask),
      labels,
      stats,
      centroids,
      connectivity,
      cv.CV_32SC1,
    );
    return {
      labels: labels.data32S.slice(),
      count: entries - 1,
      ...splitStats(stats.data32S, entries),
      centroids: centroids.data64F.slice(),
    };
  });
}

/** OpenCV's rows are left, top, width, height, area. */
function splitStats(stats: Int32Array, entries: number): { areas: Int32Array; boxes: Int32Array } {
  const areas = new Int32Array(entries);
  const boxes = new Int32Array(entries * 4);
  for (let entry = 0; entry < entries; entry++) {
    boxes.set(stats.subarray(entry * 5, entry * 5 + 4), entry * 4);
    areas[entry] = stats[entry * 5 + 4];
  }
  return { areas, boxes };
}
