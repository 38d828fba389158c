import type { Raster } from '../raster.js';

/** Small grey copy of a picture for looking at its large forms. */
export interface Shrunk {
  readonly width: number;
  readonly height: number;
  /** Mean brightness of each block, 0 to 255 as stored (not linear light), rows from the top. */
  readonly data: Float32Array;
  /** Pixels of the picture a pixel of the copy, 1 or more. */
  readonly factor: number;
}

/** Samples taken along each side of a block; enough to average noise and grain. */
const SAMPLES_A_SIDE = 4;

/** Brightness of a pixel from its three bytes, green twice as it carries most of the detail. */
export const brightnessAt = (data: Uint8Array, at: number): number => (data[at] + 2 * data[at + 1] + data[at + 2]) / 4;

/**
 * Shrinks a picture by averaging blocks of whole pixels; the rest at the right and lower edge is left out.
 *
 * @param raster picture
 * @param longSide wanted length of the longer side, px; a smaller picture is kept at its size
 */
export function shrink(raster: Raster, longSide: number): Shrunk {
  const factor = Math.max(1, Math.floor(Math.max(raster.width, raster.height) / longSide));
  const width = Math.max(1, Math.floor(raster.width / factor));
  const height = Math.max(1, Math.floor(raster.height / factor));
  const step = Math.max(1, Math.floor(factor / SAMPLES_A_SIDE));
  const data = new Float32Array(width * height);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      let sum = 0;
      let count = 0;
      for (let y = row * factor; y < (row + 1) * factor && y < raster.height; y += step) {
        for (let x = column * factor; x < (column + 1) * factor && x < raster.width; x += step) {
          sum += brightnessAt(raster.data, 3 * (y * raster.width + x));
          count++;
        }
      }
      data[row * width + column] = sum / count;
    }
  }
  return { width, height, data, factor };
}

/**
 * Value below which the given share of the numbers lies.
 *
 * @param values any order, at least one
 * @param share 0 to 1
 */
export function quantile(values: ArrayLike<number>, share: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}
