import { beyondAt, insideAt, RAYS, RINGS, type PolarView } from './polar-view.js';

/** Rings of the parts, in samples from the middle. */
const CORE = 5;
const BODY_TO = 13;
/** Added to densities that others are divided by, so that clear objects keep finite ratios. */
export const FLOOR = 0.05;

/** Mean of a view over rings from..to, weighted by area. */
export function ringMean(values: Float64Array, from: number, to: number): number {
  let [sum, weight] = [0, 0];
  for (let ray = 0; ray < RAYS; ray++) {
    for (let k = from; k < to; k++) {
      sum += (k + 0.5) * values[insideAt(ray) + k];
      weight += k + 0.5;
    }
  }
  return sum / weight;
}

/** Greatest of the ring means at the rim: three rings inside, two beyond. */
function rimPeak(density: Float64Array): number {
  let peak = -Infinity;
  for (let k = RINGS - 3; k < RINGS + 2; k++) {
    let sum = 0;
    for (let ray = 0; ray < RAYS; ray++) sum += density[insideAt(ray) + k];
    peak = Math.max(peak, sum / RAYS);
  }
  return peak;
}

/**
 * Darkness by part of the object, natural units of optical density, -3..5:
 * `darkness_inside` mean of the body within 0.8 of the rim's radius; `darkness_rim` the darkest ring at the rim;
 * `rim_over_inside` the difference of the two (shells: dark rim, clear inside; eggs: below 0); `darkness_core` mean
 * within 0.3 of the radius less that of the body around (gut, germinal vesicle below 0); `halo` mean just beyond the rim
 * (bright halo below 0).
 */
export function bodyDensity({ density }: PolarView): Record<string, number> {
  const inside = ringMean(density, 0, BODY_TO);
  const rim = rimPeak(density);
  let halo = 0;
  for (let ray = 0; ray < RAYS; ray++) halo += density[beyondAt(ray) + 2] / RAYS;
  return {
    darkness_inside: inside,
    darkness_rim: rim,
    rim_over_inside: rim - inside,
    darkness_core: ringMean(density, 0, CORE) - ringMean(density, CORE, BODY_TO),
    halo,
  };
}
