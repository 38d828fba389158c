import type { GreyRaster } from '../raster.js';
import { checkPlane, toMat, type Plane } from './plane.js';
import { inCvScope } from './scope.js';

/**
 * Distance in pixels from the centre of each inside pixel to the centre of the nearest outside pixel (exact Euclidean,
 * to the rounding of 32-bit floats); 0 outside. What lies beyond the border counts as neither.
 *
 * @param mask pixels other than 0 are inside; a mask without any outside pixel gets Infinity everywhere
 */
export function distanceTransform(mask: GreyRaster): Plane<Float32Array> {
  checkPlane('mask', mask);
  const { width, height } = mask;
  if (!mask.data.includes(0)) return { width, height, data: new Float32Array(width * height).fill(Infinity) };

  return inCvScope((cv, keep) => {
    const distances = keep(new cv.Mat());
    cv.distanceTransform(toMat(cv, keep, mask), distances, cv.DIST_L2, cv.DIST_MASK_PRECISE);
    return { width, height, data: distances.data32F.slice() };
  });
}
