import type { Raster } from '../../packages/imaging/src/raster.js';

/** A disc with a soft edge on an even ground. */
export interface SoftDisc {
  readonly size: number;
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  /** Levels of ground and disc, 0..255. */
  readonly ground: number;
  readonly inside: number;
  /** Standard deviation of the Gaussian that the edge is the running sum of, in pixels. */
  readonly sigma: number;
  /** Added to each pixel, in levels. Default: nothing. */
  readonly noise?: () => number;
}

/** The 10-90 % rise of an edge that is the running sum of a Gaussian, over its standard deviation. */
export const RISE_OVER_SIGMA = 2 * 1.2815515655446004;

/** Level of the picture at every pixel, rounded to whole numbers from 0 to 255; rows from the top. */
export function softDiscLevels({ size, x, y, radius, ground, inside, sigma, noise }: SoftDisc): Uint8Array {
  const levels = new Uint8Array(size * size);
  for (let pos = 0; pos < levels.length; pos++) {
    const distance = Math.hypot((pos % size) - x, Math.floor(pos / size) - y);
    const level = ground + (inside - ground) * normalShare((radius - distance) / sigma) + (noise?.() ?? 0);
    levels[pos] = Math.max(0, Math.min(255, Math.round(level)));
  }
  return levels;
}

/** The same as a grey picture in colour. */
export function softDiscRaster(disc: SoftDisc): Raster {
  const levels = softDiscLevels(disc);
  const data = new Uint8Array(3 * levels.length);
  levels.forEach((level, pos) => data.fill(level, 3 * pos, 3 * pos + 3));
  return { width: disc.size, height: disc.size, data };
}

/**
 * Share of a standard normal distribution below z; error below 7.5e-8 (M. Abramowitz and I. A. Stegun, "Handbook of
 * Mathematical Functions", 26.2.17).
 */
function normalShare(z: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const sum = t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) * sum;
  return z >= 0 ? 1 - tail : tail;
}
