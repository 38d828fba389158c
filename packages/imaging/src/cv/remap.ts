import { badArgument } from '@veligrid/model';
import { checkPlane, toMat, type Plane } from './plane.js';
import { inCvScope } from './scope.js';

/** Where to read a plane: one position in pixels for each pixel of the new plane. */
export interface Positions {
  readonly width: number;
  readonly height: number;
  /** `width * height` values, rows from the top; outside the plane the nearest border pixel is read. */
  readonly x: Float32Array;
  readonly y: Float32Array;
}

export interface RemapOptions {
  /** `linear` between 2 x 2 pixels, or `cubic` between 4 x 4 (sharper, may overshoot). Default `linear`. */
  readonly interpolation?: 'linear' | 'cubic';
}

/** OpenCV holds positions in 16 bits. */
const LONGEST_SIDE = 32766;

/**
 * A plane read at given positions. Positions are rounded to 1/32 pixel (OpenCV keeps five binary places).
 *
 * @param plane source, sides of at most 32,766 pixels
 */
export function remap(
  plane: Plane<Float32Array>,
  positions: Positions,
  options: RemapOptions = {},
): Plane<Float32Array> {
  const { interpolation = 'linear' } = options;
  const { width, height } = positions;
  checkPlane('plane', plane);
  checkPlane('positions.x', { width, height, data: positions.x });
  checkPlane('positions.y', { width, height, data: positions.y });
  const longest = Math.max(plane.width, plane.height, width, height);
  if (longest > LONGEST_SIDE) throw badArgument('the longest side', `at most ${String(LONGEST_SIDE)} pixels`, longest);

  return inCvScope((cv, keep) => {
    const read = keep(new cv.Mat());
    const mapX = toMat(cv, keep, { width, height, data: positions.x });
    const mapY = toMat(cv, keep, { width, height, data: positions.y });
    const method = interpolation === 'cubic' ? cv.INTER_CUBIC : cv.INTER_LINEAR;
    cv.remap(toMat(cv, keep, plane), read, mapX, mapY, method, cv.BORDER_REPLICATE, new cv.Scalar(0));
    return { width, height, data: read.data32F.slice() };
  });
}
