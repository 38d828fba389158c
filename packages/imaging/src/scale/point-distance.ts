import { badArgument } from '@veligrid/model';

/** A place in a picture, pixels. */
export type PointPx = readonly [number, number];

/** Standard uncertainty of one point that somebody reads off a picture, pixels along the line; common practice, no source. */
const POINTING_PX = 0.7;
/** Points nearer than this give no scale to rely on: its standard uncertainty would be over 1 %. */
const LEAST_DISTANCE_PX = 100;

/** Scale from two points a known distance apart. */
export interface PointScale {
  readonly umPerPx: number;
  readonly relativeStandardUncertainty: number;
  readonly distancePx: number;
}

/**
 * Scale from two points and their distance.
 *
 * @param size of the picture, pixels; both points must lie in it
 * @throws VeligridError `bad-argument` when a point lies outside or the distance is not above 0
 * @returns null when the points are nearer than 100 px
 */
export function pointScale(
  points: readonly [PointPx, PointPx],
  distanceUm: number,
  size: { readonly width: number; readonly height: number },
): PointScale | null {
  if (!(distanceUm > 0 && distanceUm < Infinity)) throw badArgument('distanceUm', 'a number above 0', distanceUm);
  for (const [x, y] of points) {
    if (!(x >= -0.5 && y >= -0.5 && x <= size.width - 0.5 && y <= size.height - 0.5)) {
      const expected = `inside the picture of ${String(size.width)} x ${String(size.height)} px`;
      throw badArgument('points', expected, `${String(x)},${String(y)}`);
    }
  }
  const [[x1, y1], [x2, y2]] = points;
  const distancePx = Math.hypot(x2 - x1, y2 - y1);
  if (distancePx < LEAST_DISTANCE_PX) return null;
  const relativeStandardUncertainty = (Math.SQRT2 * POINTING_PX) / distancePx;
  return { umPerPx: distanceUm / distancePx, relativeStandardUncertainty, distancePx };
}
