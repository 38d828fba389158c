import { badArgument } from '@veligrid/model';
import type { Mat, OpenCv } from './open-cv.js';
import type { Keep } from './scope.js';

/** Element types a plane can have. */
export type PlaneData = Float32Array | Uint8Array;

/** One channel of a picture: rows from the top, `width * height` numbers. A `GreyRaster` is one. */
export interface Plane<Data extends PlaneData = PlaneData> {
  /** Pixels in a row, 1 or more. */
  readonly width: number;
  /** Rows, 1 or more. */
  readonly height: number;
  readonly data: Data;
}

/**
 * Refuses a plane whose sides are not whole numbers above 0 or whose data have another length than width times height.
 *
 * @param name parameter as the caller knows it
 */
export function checkPlane(name: string, { width, height, data }: Plane): void {
  if (!Number.isInteger(width) || width < 1 || !Number.isInteger(height) || height < 1) {
    throw badArgument(`the size of ${name}`, 'two whole numbers of 1 or more', `${String(width)} x ${String(height)}`);
  }
  if (data.length !== width * height) {
    throw badArgument(`${name}.data`, `${String(width * height)} numbers long`, data.length);
  }
}

/** Copies a checked plane into OpenCV's memory. */
export function toMat(cv: OpenCv, keep: Keep, { width, height, data }: Plane): Mat {
  const isFloat = data instanceof Float32Array;
  const mat = keep(new cv.Mat(height, width, isFloat ? cv.CV_32FC1 : cv.CV_8UC1));
  if (isFloat) mat.data32F.set(data);
  else mat.data.set(data);
  return mat;
}
