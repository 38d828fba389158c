import { FLOOR } from './body-density.js';
import { insideAt, RAYS, RINGS, type PolarView } from './polar-view.js';

/** Rings in which the middle of a pale spot may lie. */
const MIDDLE_TO = 7;
/** Half-width of a spot in radii of the rim. */
const SPOT = 0.26;
/** The body around a spot, in radii of the rim. */
const BODY_FROM = 0.15;
const BODY_TO = 0.8;

/** Places of the samples in units of the rim's radius, and their weights by area. */
const SAMPLES = Array.from({ length: RAYS / 2 }, (_, half) => 2 * half).flatMap((ray) =>
  Array.from({ length: RINGS }, (_, k) => {
    const radius = (k + 0.5) / RINGS;
    const angle = (2 * Math.PI * ray) / RAYS;
    return { at: insideAt(ray) + k, x: radius * Math.cos(angle), y: radius * Math.sin(angle), radius };
  }),
);
/** Samples that belong together: where they stand in a view, and their weights, which add up to 1. */
interface Spot {
  readonly at: Uint16Array;
  readonly weight: Float64Array;
}

function spotOf(samples: typeof SAMPLES): Spot {
  const sum = samples.reduce((total, { radius }) => total + radius, 0);
  return {
    at: Uint16Array.from(samples, ({ at }) => at),
    weight: Float64Array.from(samples, ({ radius }) => radius / sum),
  };
}

const BODY = spotOf(SAMPLES.filter(({ radius }) => radius > BODY_FROM && radius < BODY_TO));
/** Samples of the spot about each possible middle. */
const SPOTS = SAMPLES.filter(({ radius }, index) => radius < MIDDLE_TO / RINGS && index % 2 === 0).map((middle) =>
  spotOf(SAMPLES.filter(({ x, y }) => Math.hypot(x - middle.x, y - middle.y) < SPOT)),
);

function weighted(density: Float64Array, { at, weight }: Spot): number {
  let sum = 0;
  for (let k = 0; k < at.length; k++) sum += weight[k] * density[at[k]];
  return sum;
}

/**
 * `pale_spot`: how much paler the palest round spot of half the radius (a germinal vesicle) is than the body, over the
 * body's density (plus 0.05), -1..2. Eggs with the vesicle still in them are not fertilised (common practice).
 */
export function paleSpot({ density }: PolarView): Record<string, number> {
  const body = weighted(density, BODY);
  let palest = Infinity;
  for (const spot of SPOTS) palest = Math.min(palest, weighted(density, spot));
  return { pale_spot: (body - palest) / (Math.abs(body) + FLOOR) };
}
