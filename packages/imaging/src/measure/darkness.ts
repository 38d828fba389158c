import type { Outline, Raster } from '../raster.js';
import { lumaOf } from './luma.js';

/** Fewest pixels inside that are looked at, where there are as many. */
const SAMPLES = 700;
/** Luma below which a pixel counts as this dark: half a step above black. */
const BLACK = 0.5;

/** Natural logarithm of the light behind each luma, 0..255, in units of white. */
const LOG_LIGHT = Float64Array.from({ length: 256 }, (_, luma) => Math.log(lightOf(Math.max(BLACK, luma))));

/** Light over white of a luma (transfer curve of sRGB, IEC 61966-2-1). */
function lightOf(luma: number): number {
  const value = luma / 255;
  return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
}

/**
 * Mean optical density inside an outline against the ground around it, ln(ground / light) on light intensities, so that
 * exposure cancels out: 0 for clear, 0.7 where half of the light is held back, below 0 for bright on dark. Large objects
 * are looked at on a coarser lattice of 700 to 2800 pixels. 0 when no pixel lies inside.
 *
 * @param outline closed outline in pixels; what lies outside the picture is left out
 * @param groundLuma luma of the ground, 0..255
 * @param areaPx2 area inside the outline
 */
export function darkness(raster: Raster, outline: Outline, groundLuma: number, areaPx2: number): number {
  const { width, height, data } = raster;
  const stride = Math.max(1, Math.floor(Math.sqrt(areaPx2 / SAMPLES)));
  let sum = 0;
  let count = 0;
  let top = Infinity;
  let bottom = -Infinity;
  for (let pos = 1; pos < outline.length; pos += 2) {
    if (outline[pos] < top) top = outline[pos];
    if (outline[pos] > bottom) bottom = outline[pos];
  }
  const crossings = new Float64Array(outline.length / 2);
  const lastRow = Math.min(height - 1, Math.floor(bottom));
  for (let row = stride * Math.ceil(Math.max(0, top) / stride); row <= lastRow; row += stride) {
    const found = rowCrossings(outline, row, crossings);
    for (let pair = 0; pair + 1 < found; pair += 2) {
      const first = stride * Math.ceil(Math.max(0, crossings[pair]) / stride);
      const last = Math.min(width - 1, crossings[pair + 1]);
      for (let column = first; column <= last; column += stride) {
        sum += LOG_LIGHT[Math.round(lumaOf(data, 3 * (row * width + column)))];
        count++;
      }
    }
  }
  return count > 0 ? Math.log(lightOf(Math.max(BLACK, groundLuma))) - sum / count : 0;
}

/** Where the outline crosses a row of pixels, from the left, put into `crossings`; returns how many. */
function rowCrossings(outline: Outline, row: number, crossings: Float64Array): number {
  const size = outline.length;
  let found = 0;
  let ax = outline[size - 2];
  let ay = outline[size - 1];
  for (let pos = 0; pos < size; pos += 2) {
    const bx = outline[pos];
    const by = outline[pos + 1];
    if (ay <= row !== by <= row) {
      const x = ax + ((row - ay) / (by - ay)) * (bx - ax);
      let at = found++;
      for (; at > 0 && crossings[at - 1] > x; at--) crossings[at] = crossings[at - 1];
      crossings[at] = x;
    }
    ax = bx;
    ay = by;
  }
  return found;
}
