import { FLOOR, ringMean } from './body-density.js';
import { harmonic } from './lobes.js';
import { insideAt, RAYS, type PolarView } from './polar-view.js';

/** Rings within which texture is looked at, clear of the rim's blur. */
const TO = 13;
/** Rings of cleavage furrows. */
const FURROW_FROM = 5;
const FURROW_TO = 13;

/**
 * Unevenness of the inside over its mean density (plus 0.05), 0..5: `granularity` from one sample to the next (yolk
 * granules), `patchiness` over the whole inside (guts, clumped tissue).
 */
export function texture({ density }: PolarView): Record<string, number> {
  const mean = ringMean(density, 0, TO);
  let [fine, square, weight] = [0, 0, 0];
  for (let ray = 0; ray < RAYS; ray++) {
    const before = insideAt((ray + RAYS - 1) % RAYS);
    const after = insideAt((ray + 1) % RAYS);
    for (let k = 2; k < TO; k++) {
      const value = density[insideAt(ray) + k];
      fine += (k + 0.5) * Math.abs(value - (density[before + k] + density[after + k]) / 2);
      square += (k + 0.5) * (value - mean) ** 2;
      weight += k + 0.5;
    }
  }
  const divisor = Math.abs(mean) + FLOOR;
  return { granularity: fine / weight / divisor, patchiness: Math.sqrt(square / weight) / divisor };
}

/**
 * Spokes of dark and pale in the outer half of the inside: amplitude of the k-th angular harmonic of the density over its
 * mean (plus 0.05), 0..2, as `furrows_1` (one dark side) to `furrows_4` (four cells), `furrows_many` the root of the sum
 * of squares of 5 to 10 (morula).
 */
export function furrows({ density }: PolarView): Record<string, number> {
  const mean = Math.abs(ringMean(density, 0, TO)) + FLOOR;
  const around = new Float64Array(RAYS);
  for (let ray = 0; ray < RAYS; ray++) {
    for (let k = FURROW_FROM; k < FURROW_TO; k++) {
      around[ray] += density[insideAt(ray) + k] / (FURROW_TO - FURROW_FROM);
    }
  }
  const few = [1, 2, 3, 4].map((k) => [`furrows_${String(k)}`, harmonic(around, k) / mean] as const);
  const many = Math.hypot(...[5, 6, 7, 8, 9, 10].map((k) => harmonic(around, k))) / mean;
  return { ...Object.fromEntries(few), furrows_many: many };
}
