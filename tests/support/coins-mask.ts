import type { GreyRaster } from '../../packages/imaging/src/raster.js';

/** Half-width of the square over which the ground is averaged, in pixels, and how much brighter a coin must be. */
const HALF_WIDTH = 40;
const BRIGHTER = 12;

/** Pixels that are brighter than the mean of the square around them: a simple local threshold. */
export function brighterThanAround(picture: GreyRaster, halfWidth = HALF_WIDTH, brighter = BRIGHTER): GreyRaster {
  const { width, height, data } = picture;
  // Sums over everything above and to the left.
  const sums = new Float64Array((width + 1) * (height + 1));
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = (y + 1) * (width + 1) + x + 1;
      sums[at] = data[y * width + x] + sums[at - 1] + sums[at - width - 1] - sums[at - width - 2];
    }
  }
  const mask = new Uint8Array(data.length);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [left, right] = [Math.max(0, x - halfWidth), Math.min(width, x + halfWidth + 1)];
      const [top, bottom] = [Math.max(0, y - halfWidth), Math.min(height, y + halfWidth + 1)];
      const at = (row: number, column: number): number => sums[row * (width + 1) + column];
      const total = at(bottom, right) - at(top, right) - at(bottom, left) + at(top, left);
      if (data[y * width + x] > total / ((right - left) * (bottom - top)) + brighter) mask[y * width + x] = 255;
    }
  }
  return { width, height, data: mask };
}
