import { badArgument } from '@veligrid/model';
import { checkPlane, fromMat, toMat, type Plane, type PlaneData } from './plane.js';
import { inCvScope } from './scope.js';

/**
 * A plane made smaller: each new pixel is the mean of the area it covers, parts of pixels weighed by their share, so
 * the mean of the picture is kept. Pixel edges map to pixel edges: x of the new picture is (x + 0.5) * new width / old
 * width - 0.5.
 *
 * @param width of the new plane in pixels, 1 to that of the old
 * @param height of the new plane in pixels, 1 to that of the old
 */
export function resizeArea<Data extends PlaneData>(plane: Plane<Data>, width: number, height: number): Plane<Data> {
  checkPlane('plane', plane);
  checkSide('width', width, plane.width);
  checkSide('height', height, plane.height);

  return inCvScope((cv, keep) => {
    const resized = keep(new cv.Mat());
    cv.resize(toMat(cv, keep, plane), resized, new cv.Size(width, height), 0, 0, cv.INTER_AREA);
    return fromMat(resized, plane.data);
  });
}

function checkSide(name: string, side: number, most: number): void {
  if (!Number.isInteger(side) || side < 1 || side > most) {
    throw badArgument(name, `a whole number from 1 to ${String(most)}`, side);
  }
}
