import { FLOOR, ringMean } from './body-density.js';
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
  const inside: number[] = [];
  for (let ray = 0; ray < RAYS; ray++) {
    // Every ring in proportion to its area.
    for (let k = ray % 2; k < TO; k += 2)
      for (let times = 0; times <= k; times += 3) inside.push(density[insideAt(ray) + k]);
  }
  inside.sort((a, b) => a - b);
  const half = (inside[Math.floor(0.1 * inside.length)] + inside[Math.floor(0.9 * inside.length)]) / 2;
  const dark = inside.filter((value) => value > half).length;
  return { ...Object.fromEntries(bands), dark_share: dark / inside.length } as Record<string, number>;
}
