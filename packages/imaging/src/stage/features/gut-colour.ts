import { ringMean } from './body-density.js';
import { insideAt, RAYS, type PolarView } from './polar-view.js';

/** Share of the samples inside that is taken for the gut: the darkest. */
const DARKEST = 0.15;
const TO = 12;

/**
 * Colour: `warmth_inside` mean over the body of blue density less red, -2..2 (yolk and gut are brown, above 0);
 * `gut_darkness` density of the darkest 15 % of the body less its mean, 0..3 (a fed gut); `gut_warmth` warmth of those
 * less the body's, -2..2.
 */
export function gutColour({ density, warmth }: PolarView): Record<string, number> {
  const places: number[] = [];
  for (let ray = 0; ray < RAYS; ray += 2) {
    for (let k = 1; k < TO; k++) places.push(insideAt(ray) + k);
  }
  places.sort((a, b) => density[b] - density[a]);
  const darkest = places.slice(0, Math.round(DARKEST * places.length));
  const mean = (values: Float64Array): number => darkest.reduce((sum, at) => sum + values[at], 0) / darkest.length;
  const inside = ringMean(warmth, 0, TO);
  return {
    warmth_inside: inside,
    gut_darkness: mean(density) - ringMean(density, 0, TO),
    gut_warmth: mean(warmth) - inside,
  };
}
