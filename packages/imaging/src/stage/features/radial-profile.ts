import { FLOOR, ringMean } from './body-density.js';
import { nthSmallest } from './nth-smallest.js';
import { insideAt, RAYS, type PolarView } from './polar-view.js';

/** Bands of rings from the middle outwards. */
const BANDS = [
  [0, 4],
  [4, 8],
  [8, 11],
  [11, 13],
  [13, 15],
] as const;
const TO = 13;

/** Samples of the inside, every ring in proportion to its area. */
const SAMPLES = Uint16Array.from(
  Array.from({ length: RAYS }, (_, ray) =>
    Array.from({ length: TO }, (__, k) => k)
      .filter((k) => k % 2 === ray % 2)
      .flatMap((k) => Array.from({ length: Math.floor(k / 3) + 1 }, () => insideAt(ray) + k)),
  ).flat(),
);

/** Their densities, filled anew for each object. */
const INSIDE = new Float64Array(SAMPLES.length);

/**
 * Where the dark lies: `profile_1` to `profile_5`, mean density of five bands from the middle to the rim (ending at 1/4,
 * 1/2, 0.69, 0.81 and 0.94 of its radius) over that of the inside (plus 0.05), less 1; -1..5. `dark_share` share of the
 * inside darker than half way between its 10 and 90 % points, 0..1: small for a clump in a clear shell.
 */
export function radialProfile({ density }: PolarView): Record<string, number> {
  const mean = ringMean(density, 0, TO);
  const divisor = Math.abs(mean) + FLOOR;
  const bands = BANDS.map(([from, to], k) => [
    `profile_${String(k + 1)}`,
    (ringMean(density, from, to) - mean) / divisor,
  ]);
  const inside = INSIDE;
  for (let k = 0; k < inside.length; k++) inside[k] = density[SAMPLES[k]];
  const low = nthSmallest(inside, Math.floor(0.1 * inside.length));
  const high = nthSmallest(inside, Math.floor(0.9 * inside.length));
  const half = (low + high) / 2;
  let dark = 0;
  for (const value of inside) if (value > half) dark++;
  return { ...Object.fromEntries(bands), dark_share: dark / inside.length } as Record<string, number>;
}
