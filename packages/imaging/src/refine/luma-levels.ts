import type { GreyRaster, Raster } from '../raster.js';

/** A picture at full scale, and the luma of halves of it. */
export interface LumaLevels {
  /** How many there are, 1 or more. */
  readonly count: number;
  /** Level 0. */
  readonly full: Raster;
  /** Level k of 1 or more is shrunk by 2 to the k; made when first asked for. */
  readonly at: (k: number) => GreyRaster;
}

/** Weights of red, green and blue in luma (ITU-R BT.601-7, section 2.5.1), in 256ths. */
export const RED = 77;
export const GREEN = 150;
export const BLUE = 29;

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
 * A picture and the luma of its halves, as long as they have two pixels a side.
 *
 * @param raster the picture
 * @param most levels, 1 or more
 */
export function lumaLevels(raster: Raster, most: number): LumaLevels {
  const levels: GreyRaster[] = [];
  const halvings = Math.floor(Math.log2(Math.max(2, Math.min(raster.width, raster.height)))) - 1;
  const at = (k: number): GreyRaster => {
    if (levels.length === 0) levels.push(halved(lumaOf(raster)));
    while (levels.length < k) levels.push(halved(levels[levels.length - 1]));
    return levels[k - 1];
  };
  return { count: Math.min(most, halvings + 1), full: raster, at };
}
