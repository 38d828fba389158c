import { middleOf } from './nth-smallest.js';
import { beyondAt, BEYOND, RAYS, type PolarView } from './polar-view.js';

/** Samples beyond the rim in which a polar body lies: out to 0.15 of the diameter. */
const FROM = 1;
const TO = 6;
/** Rays on each side that a polar body covers. */
const SPREAD = 2;
/** Rays on each side of the greatest that belong to the same thing. */
const AROUND = 6;

/** Mean over a window of neighbouring rays. */
function smoothed(values: Float64Array, spread: number): Float64Array {
  const means = new Float64Array(RAYS);
  for (let ray = 0; ray < RAYS; ray++) {
    let sum = 0;
    for (let k = -spread; k <= spread; k++) sum += values[(ray + k + RAYS) % RAYS];
    means[ray] = sum / (2 * spread + 1);
  }
  return means;
}

/** Room to put a ring in order. */
const SORTED = new Float64Array(RAYS);

/** Size of the differences to the middle value of its ring, ring by ring from the rim outwards, `RAYS` numbers each. */
export type Unevenness = readonly Float64Array[];

/** Looks at the rings beyond the rim once for `bleb` and `fringe`. */
export function unevenness({ density }: PolarView): Unevenness {
  const all = new Float64Array(BEYOND * RAYS);
  return Array.from({ length: BEYOND }, (_, k) => {
    const ring = all.subarray(k * RAYS, (k + 1) * RAYS);
    for (let ray = 0; ray < RAYS; ray++) ring[ray] = density[beyondAt(ray) + k];
    SORTED.set(ring);
    const level = middleOf(SORTED);
    for (let ray = 0; ray < RAYS; ray++) ring[ray] = Math.abs(ring[ray] - level);
    return ring;
  });
}

/** Mean over rings `from` to below `to`, by ray. */
function meanOf(rings: Unevenness, from: number, to: number): Float64Array {
  const mean = new Float64Array(RAYS);
  for (let k = from; k < to; k++) {
    const ring = rings[k];
    for (let ray = 0; ray < RAYS; ray++) mean[ray] += ring[ray] / (to - from);
  }
  return mean;
}

/**
 * A small thing that sits on the rim (polar body), by the unevenness of the ring out to 0.15 diameters beyond:
 * `bleb` its greatest value over some 25 degrees less the middle value, density 0..2;
 * `bleb_over_noise` the same over the noise of the ground, as ln(1 + ratio), 0..7;
 * `bleb_second` the greatest value elsewhere on the rim less the middle one, over `bleb`, 0..1 (touching neighbours, dirt);
 * `bleb_width` share of the rim where the unevenness is above half of the greatest, 0..1.
 */
export function bleb({ groundNoise }: PolarView, rings: Unevenness): Record<string, number> {
  const around = smoothed(meanOf(rings, FROM, TO), SPREAD);
  SORTED.set(around);
  const level = middleOf(SORTED);
  let best = 0;
  for (let ray = 1; ray < RAYS; ray++) if (around[ray] > around[best]) best = ray;
  const height = around[best] - level;
  let [second, wide] = [0, 0];
  for (let ray = 0; ray < RAYS; ray++) {
    const apart = Math.min((ray - best + RAYS) % RAYS, (best - ray + RAYS) % RAYS);
    if (apart > AROUND) second = Math.max(second, around[ray] - level);
    if (around[ray] - level > height / 2) wide++;
  }
  return {
    bleb: height,
    bleb_over_noise: Math.log1p(height / groundNoise),
    bleb_second: height > 0 ? second / height : 1,
    bleb_width: wide / RAYS,
  };
}

/**
 * What stands out around the object: `fringe` mean unevenness of the ring from 0.05 to 0.35 diameters beyond the rim,
 * over the noise of the ground, as ln(1 + ratio), 0..7; `fringe_side` the same over the quarter of the rim where it is
 * greatest (velum out, foot, cilia of one side) less that of the opposite quarter.
 */
export function fringe({ groundNoise }: PolarView, rings: Unevenness): Record<string, number> {
  const uneven = meanOf(rings, 2, BEYOND);
  const quarters = smoothed(uneven, RAYS / 8);
  const inNoise = (value: number): number => Math.log1p(value / groundNoise);
  let best = 0;
  for (let ray = 1; ray < RAYS; ray++) if (quarters[ray] > quarters[best]) best = ray;
  return {
    fringe: inNoise(uneven.reduce((sum, value) => sum + value, 0) / RAYS),
    fringe_side: inNoise(quarters[best]) - inNoise(quarters[(best + RAYS / 2) % RAYS]),
  };
}
