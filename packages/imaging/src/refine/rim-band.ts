import { middleOf } from '../middle-of.js';
import type { GreyRaster, Outline, Raster } from '../raster.js';
import { BLUE, GREEN, RED, type LumaLevels } from './luma-levels.js';

/** Directions of a band, clockwise from x. */
export const ANGLES = 64;
/** Rows repeated at either end of a band, so that the rim is closed for the network. */
export const WRAP = 8;
/** Radii of a band, from INNER to OUTER times the coarse radius. */
export const DEPTHS = 32;
const INNER = 0.7;
const OUTER = 1.3;
/** Added to the deviation of a band (white is 1). */
const LEAST_DEVIATION = 0.03;
/** Objects wider than this many pixels are looked at on a halved picture. */
const WIDEST = 128;

/** Radii of an outline in every direction of a band, seen from its middle. */
export interface Radii {
  readonly x: number;
  readonly y: number;
  /** Pixels; `ANGLES` numbers above 0. */
  readonly radius: Float64Array;
}

/** Cosines and sines of the directions. */
export const COS: Float64Array = Float64Array.from({ length: ANGLES }, (_, k) => Math.cos((2 * Math.PI * k) / ANGLES));
export const SIN: Float64Array = Float64Array.from({ length: ANGLES }, (_, k) => Math.sin((2 * Math.PI * k) / ANGLES));

/** Centroid of the area of a closed outline. */
function centroid(outline: Outline): readonly [number, number] {
  const n = outline.length;
  let area = 0;
  let x = 0;
  let y = 0;
  let px = outline[n - 2];
  let py = outline[n - 1];
  for (let i = 0; i < n; i += 2) {
    const cross = px * outline[i + 1] - outline[i] * py;
    area += cross;
    x += (px + outline[i]) * cross;
    y += (py + outline[i + 1]) * cross;
    px = outline[i];
    py = outline[i + 1];
  }
  return [x / (3 * area), y / (3 * area)];
}

/** Farthest crossing of each direction with the outline, from its centroid; null when the centroid lies outside. */
export function radiiOf(outline: Outline): Radii | null {
  const [x, y] = centroid(outline);
  const radius = new Float64Array(ANGLES);
  const n = outline.length;
  for (let k = 0; k < ANGLES; k++) {
    let qx = outline[n - 2] - x;
    let qy = outline[n - 1] - y;
    let side = COS[k] * qy - SIN[k] * qx;
    for (let i = 0; i < n; i += 2) {
      const nx = outline[i] - x;
      const ny = outline[i + 1] - y;
      const nside = COS[k] * ny - SIN[k] * nx;
      if (side <= 0 !== nside <= 0) {
        radius[k] = Math.max(radius[k], (qx * ny - qy * nx) / (COS[k] * (ny - qy) - SIN[k] * (nx - qx)));
      }
      qx = nx;
      qy = ny;
      side = nside;
    }
    if (!(radius[k] > 0)) return null;
  }
  return { x, y, radius };
}

/** Luma between pixels of a grey picture; beyond the picture its edge goes on. */
function sampleGrey({ width, height, data }: GreyRaster, x: number, y: number): number {
  const cx = Math.min(width - 1.001, Math.max(0, x));
  const cy = Math.min(height - 1.001, Math.max(0, y));
  const x0 = Math.floor(cx);
  const y0 = Math.floor(cy);
  const fx = cx - x0;
  const fy = cy - y0;
  const i = y0 * width + x0;
  const top = data[i] + (data[i + 1] - data[i]) * fx;
  const low = data[i + width] + (data[i + width + 1] - data[i + width]) * fx;
  return top + (low - top) * fy;
}

/** The same of a colour picture. */
function sampleColour({ width, height, data }: Raster, x: number, y: number): number {
  const cx = Math.min(width - 1.001, Math.max(0, x));
  const cy = Math.min(height - 1.001, Math.max(0, y));
  const x0 = Math.floor(cx);
  const y0 = Math.floor(cy);
  const fx = cx - x0;
  const fy = cy - y0;
  const i = (y0 * width + x0) * 3;
  const j = i + width * 3;
  const a = RED * data[i] + GREEN * data[i + 1] + BLUE * data[i + 2];
  const b = RED * data[i + 3] + GREEN * data[i + 4] + BLUE * data[i + 5];
  const c = RED * data[j] + GREEN * data[j + 1] + BLUE * data[j + 2];
  const d = RED * data[j + 3] + GREEN * data[j + 4] + BLUE * data[j + 5];
  const top = a + (b - a) * fx;
  const low = c + (d - c) * fx;
  return (top + (low - top) * fy) / 256;
}

/**
 * Cuts the band round an outline from the picture into `bands`, levelled: ground (median of the outermost quarter)
 * subtracted, divided by the mean absolute difference from it plus 0.03.
 *
 * @param bands `(ANGLES + 2 WRAP) * DEPTHS` numbers an object
 * @param place number of the object in `bands`
 */
export function cutBand(levels: LumaLevels, { x, y, radius }: Radii, bands: Float32Array, place: number): void {
  const widest = 2 * radius.reduce((a, b) => Math.max(a, b), 0);
  let level = 0;
  while (level + 1 < levels.count && widest / 2 ** level > WIDEST) level++;
  const picture = level === 0 ? null : levels.at(level);
  const shrink = 1 / 2 ** level;
  const band = new Float32Array(ANGLES * DEPTHS);
  for (let k = 0; k < ANGLES; k++) {
    for (let j = 0; j < DEPTHS; j++) {
      const r = radius[k] * (INNER + ((OUTER - INNER) * (j + 0.5)) / DEPTHS);
      const px = (x + r * COS[k] + 0.5) * shrink - 0.5;
      const py = (y + r * SIN[k] + 0.5) * shrink - 0.5;
      band[k * DEPTHS + j] = (picture === null ? sampleColour(levels.full, px, py) : sampleGrey(picture, px, py)) / 255;
    }
  }
  const outer = band.filter((_, i) => i % DEPTHS >= (DEPTHS * 3) / 4);
  const ground = middleOf(outer, outer.length);
  let deviation = 0;
  for (const v of band) deviation += Math.abs(v - ground) / band.length;
  const rows = ANGLES + 2 * WRAP;
  for (let row = 0; row < rows; row++) {
    const from = ((row - WRAP + ANGLES) % ANGLES) * DEPTHS;
    const to = (place * rows + row) * DEPTHS;
    for (let j = 0; j < DEPTHS; j++) bands[to + j] = (band[from + j] - ground) / (deviation + LEAST_DEVIATION);
  }
}
