import { lumaOf } from '../measure/luma.js';
import type { Raster } from '../raster.js';

/** Small grey copy of a photo by which two photos are compared. Plain data: it can be sent to another thread. */
export interface PhotoView {
  readonly width: number;
  readonly height: number;
  /** Luma, one byte a pixel. */
  readonly data: Uint8Array;
  /** Pixels of the photo a pixel of the copy, along each side. */
  readonly factor: number;
}

/** Scale of the copy where the photo's is known, micrometres a pixel. */
export const VIEW_UM = 2.5;
/** Longer side of the copy where no scale is known, pixels. */
const VIEW_PX = 1600;

/**
 * Makes the copy of a photo by which `joinPhotos` compares it with others: blocks of pixels averaged.
 *
 * @param umPerPx scale of the photo, or null
 */
export function photoView(raster: Raster, umPerPx: number | null): PhotoView {
  const wanted = umPerPx === null ? Math.max(raster.width, raster.height) / VIEW_PX : VIEW_UM / umPerPx;
  const factor = Math.max(1, Math.round(wanted));
  const width = Math.max(1, Math.floor(raster.width / factor));
  const height = Math.max(1, Math.floor(raster.height / factor));
  const data = new Uint8Array(width * height);
  const sums = new Float32Array(width);
  for (let row = 0; row < height; row++) {
    sums.fill(0);
    for (let y = row * factor; y < (row + 1) * factor; y++) {
      for (let x = 0; x < width * factor; x++) {
        sums[Math.floor(x / factor)] += lumaOf(raster.data, 3 * (y * raster.width + x));
      }
    }
    for (let column = 0; column < width; column++) data[row * width + column] = Math.round(sums[column] / factor ** 2);
  }
  return { width, height, data, factor };
}

/** Luma between the pixels of the copy, at a place given in pixels of the photo; null outside. */
export function viewAt({ width, height, data, factor }: PhotoView, x: number, y: number): number | null {
  const [column, row] = [(x + 0.5) / factor - 0.5, (y + 0.5) / factor - 0.5];
  if (column < 0 || row < 0 || column > width - 1 || row > height - 1) return null;
  const [left, top] = [Math.min(width - 2, Math.floor(column)), Math.min(height - 2, Math.floor(row))];
  const [shareX, shareY] = [column - left, row - top];
  const at = top * width + left;
  const upper = data[at] * (1 - shareX) + data[at + 1] * shareX;
  const lower = data[at + width] * (1 - shareX) + data[at + width + 1] * shareX;
  return upper + shareY * (lower - upper);
}
