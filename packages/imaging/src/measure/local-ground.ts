import type { Raster } from '../raster.js';
import { roomAround, type Bounds } from './in-field.js';
import { lumaNear } from './luma.js';
import type { RimPoints } from './rim-points.js';

/** Ground around an object. */
export interface Ground {
  /** Level in luma, 0..255. */
  readonly luma: number;
  /** Standard deviation of the level from pixel to pixel, in luma; never below that of rounding to whole numbers. */
  readonly noise: number;
}

/** Distances from the outline at which the ground is looked at, as shares of the equivalent diameter. */
const DISTANCES = [0.16, 0.24, 0.32, 0.4] as const;
/** Added to each distance in pixels, so that small objects keep clear of their own blur. */
const CLEARANCE_PX = 2;
/** Fewest places that say anything about the ground. */
const FEWEST = 12;
/** Half-width of the middle half of a normal distribution, in standard deviations. */
const HALF_OF_NORMAL = 0.6745;
/** Standard deviation of rounding to whole numbers. */
const ROUNDING = 1 / Math.sqrt(12);

/**
 * Level and noise of the ground in a ring outside the outline, where the picture can be used; null when there is
 * hardly any such place.
 *
 * The level is the median of the shortest range that holds half of the values, the noise the one whose normal
 * distribution has a middle half that wide. Neighbours, lines and dirt in up to half of the ring change neither much,
 * also when all of them are darker than the ground, which pulls a plain median. (Shortest half: P. J. Rousseeuw and A. M.
 * Leroy, "Robust Regression and Outlier Detection", 1987, section 4.1; from memory.)
 */
export function localGround(raster: Raster, bounds: Bounds, rim: RimPoints, diameterPx: number): Ground | null {
  const values = new Float64Array(rim.count * DISTANCES.length);
  let count = 0;
  for (let pos = 0; pos < 2 * rim.count; pos += 2) {
    for (const share of DISTANCES) {
      const distance = CLEARANCE_PX + share * diameterPx;
      const x = rim.points[pos] + distance * rim.outwards[pos];
      const y = rim.points[pos + 1] + distance * rim.outwards[pos + 1];
      if (roomAround(bounds, x, y) >= 0) values[count++] = lumaNear(raster, x, y);
    }
  }
  if (count < FEWEST) return null;
  const sorted = values.subarray(0, count).sort();
  const half = count >> 1;
  let start = 0;
  for (let first = 1; first + half < count; first++) {
    if (sorted[first + half] - sorted[first] < sorted[start + half] - sorted[start]) start = first;
  }
  return {
    luma: sorted[start + (half >> 1)],
    noise: Math.max(ROUNDING, (sorted[start + half] - sorted[start]) / (2 * HALF_OF_NORMAL)),
  };
}
