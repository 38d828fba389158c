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
const BODY = SAMPLES.filter(({ radius }) => radius > BODY_FROM && radius < BODY_TO);
/** Samples of the spot about each possible middle. */
const SPOTS = SAMPLES.filter(({ radius }, index) => radius < MIDDLE_TO / RINGS && index % 2 === 0).map((middle) =>
  SAMPLES.filter(({ x, y }) => Math.hypot(x - middle.x, y - middle.y) < SPOT),
);

const weighted = (density: Float64Array, samples: readonly { at: number; radius: number }[]): number => {
  let [sum, weight] = [0, 0];
  for (const { at, radius } of samples) {
    sum += radius * density[at];
    weight += radius;
  }
  return sum / weight;
};

/**
 * `pale_spot`: how much paler the palest round spot of half the radius (a germinal vesicle) is than the body, over the
 * body's density (plus 0.05), -1..2. Eggs with the vesicle still in them are not fertilised (common practice).
 */
export function paleSpot({ density }: PolarView): Record<string, number> {
  const body = weighted(density, BODY);
  const palest = Math.min(...SPOTS.map((spot) => weighted(density, spot)));
  return { pale_spot: (body - palest) / (Math.abs(body) + FLOOR) };
}
