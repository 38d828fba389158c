import { badArgument } from '@veligrid/model';
import { checkPlane, fromMat, toMat, type Plane, type PlaneData } from './plane.js';
import { inCvScope } from './scope.js';

/**
 * A plane smoothed with a sampled Gaussian, of the same size and element type. Beyond the border the picture is
 * mirrored about its outermost pixels. The Gaussian ends at 4 sigma for floats and at 3 sigma for bytes, which are
 * rounded to the nearest whole number.
 *
 * @param sigma standard deviation of the Gaussian in pixels, above 0
 */
export function gaussianBlur<Data extends PlaneData>(plane: Plane<Data>, sigma: number): Plane<Data> {
  checkPlane('plane', plane);
  if (!(sigma > 0 && sigma < Infinity)) throw badArgument('sigma', 'a number above 0', sigma);

  return inCvScope((cv, keep) => {
    const blurred = keep(new cv.Mat());
    cv.GaussianBlur(toMat(cv, keep, plane), blurred, new cv.Size(0, 0), sigma, sigma, cv.BORDER_REFLECT_101);
    return fromMat(blurred, plane.data);
  });
}
