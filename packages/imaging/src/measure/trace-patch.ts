import type { GreyRaster, Outline } from '../raster.js';

/** Steps right, down, left and up. */
const STEP_X = [1, 0, -1, 0] as const;
const STEP_Y = [0, 1, 0, -1] as const;

/**
 * Walks round one labelled patch, clockwise on the screen, along the edges between its pixels and those outside, and
 * puts a point on the line from each pixel inside to its neighbour outside, where the value passes half of 255. This is
 * the outline that marching squares give, with pixels that meet at a corner joined. Holes are not walked round.
 *
 * Half way between two pixels of 255 and 0; the outline of a two-level mask is thus 1/2 px² smaller than the patch with
 * its holes filled: each of its right turns cuts off 1/8, each left turn adds 1/8, and there are four more right turns.
 *
 * Relies on: `labels` as long as the mask; pixels from 128 on are labelled, all others 0; (startX, startY) is the patch's
 * first pixel in rows from the top.
 */
export function tracePatch(mask: GreyRaster, labels: Int32Array, startX: number, startY: number): Outline {
  const { width, height, data } = mask;
  const label = labels[startY * width + startX];
  const isInside = (x: number, y: number): boolean =>
    x >= 0 && y >= 0 && x < width && y < height && labels[y * width + x] === label;

  const points: number[] = [];
  let [x, y, heading] = [startX, startY, 0];
  do {
    // The inside is on the right hand, so the pixel outside is on the left.
    const left = (heading + 3) & 3;
    const outX = x + STEP_X[left];
    const outY = y + STEP_Y[left];
    const beyond = outX < 0 || outY < 0 || outX >= width || outY >= height;
    const inside = data[y * width + x];
    const share = (inside - 127.5) / (inside - (beyond ? 0 : data[outY * width + outX]));
    points.push(x + share * STEP_X[left], y + share * STEP_Y[left]);

    const aheadX = x + STEP_X[heading];
    const aheadY = y + STEP_Y[heading];
    if (isInside(aheadX + STEP_X[left], aheadY + STEP_Y[left])) {
      x = aheadX + STEP_X[left];
      y = aheadY + STEP_Y[left];
      heading = left;
    } else if (isInside(aheadX, aheadY)) {
      x = aheadX;
      y = aheadY;
    } else {
      heading = (heading + 1) & 3;
    }
  } while (x !== startX || y !== startY || heading !== 0);
  return Float64Array.from(points);
}
