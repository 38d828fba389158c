import type { GreyRaster, Raster } from '../raster.js';

/** Luma of a picture at full scale, then at halves of it: level k is shrunk by 2 to the k. */
export type LumaLevels = readonly GreyRaster[];

/** Weights of red, green and blue in luma (ITU-R BT.601-7, section 2.5.1), in 256ths. */
const RED = 77;
const GREEN = 150;
const BLUE = 29;

function lumaOf({ width, height, data }: Raster): GreyRaster {
  const luma = new Uint8Array(width * height);
  for (let i = 0, j = 0; i < luma.length; i++, j += 3) {
    luma[i] = (RED * data[j] + GREEN * data[j + 1] + BLUE * data[j + 2] + 128) >> 8;
  }
  return { width, height, data: luma };
}

function halved({ width, height, data }: GreyRaster): GreyRaster {
  const w = width >> 1;
  const h = height >> 1;
  const half = new Uint8Array(w * h);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const i = 2 * y * width + 2 * x;
      half[y * w + x] = (data[i] + data[i + 1] + data[i + width] + data[i + width + 1] + 2) >> 2;
    }
  }
  return { width: w, height: h, data: half };
}

/**
 * Luma of a picture and its halves.
 *
 * @param raster the picture, each side at least `2 ** (count - 1)` pixels
 * @param count levels, 1 or more
 */
export function lumaLevels(raster: Raster, count: number): LumaLevels {
  const levels = [lumaOf(raster)];
  while (levels.length < count && Math.min(levels[levels.length - 1].width, levels[levels.length - 1].height) >= 4) {
    levels.push(halved(levels[levels.length - 1]));
  }
  return levels;
}
