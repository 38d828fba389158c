import type { Raster } from '../raster.js';

/** Weights of red, green and blue in the luma of ITU-R BT.601 (the Y of JPEG); they add up to 1. */
const RED = 0.299;
const GREEN = 0.587;
const BLUE = 0.114;

/** Luma of the pixel whose red is at `pos` in RGB data, 0..255. */
export const lumaOf = (data: Uint8Array, pos: number): number =>
  RED * data[pos] + GREEN * data[pos + 1] + BLUE * data[pos + 2];

/** Luma of the pixel nearest to (x, y), 0..255; beyond the border that of the nearest border pixel. */
export function lumaNear({ width, height, data }: Raster, x: number, y: number): number {
  const column = Math.min(width - 1, Math.max(0, Math.round(x)));
  const row = Math.min(height - 1, Math.max(0, Math.round(y)));
  return lumaOf(data, 3 * (row * width + column));
}

/** Luma at (x, y) between the pixels (bilinear), 0..255; beyond the border that of the nearest border pixel. */
export function lumaAt({ width, height, data }: Raster, x: number, y: number): number {
  const insideX = Math.min(width - 1, Math.max(0, x));
  const insideY = Math.min(height - 1, Math.max(0, y));
  const column = Math.floor(insideX);
  const row = Math.floor(insideY);
  const shareX = insideX - column;
  const shareY = insideY - row;
  const pos = 3 * (row * width + column);
  // On the last column or row there is no next one, and none of it is wanted.
  const right = shareX > 0 ? pos + 3 : pos;
  const down = shareY > 0 ? 3 * width : 0;
  const upper = lumaOf(data, pos) * (1 - shareX) + lumaOf(data, right) * shareX;
  const lower = lumaOf(data, pos + down) * (1 - shareX) + lumaOf(data, right + down) * shareX;
  return upper + shareY * (lower - upper);
}
