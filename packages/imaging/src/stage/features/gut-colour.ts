import { ringMean } from './body-density.js';
import { nthSmallest } from './nth-smallest.js';
import { insideAt, RAYS, type PolarView } from './polar-view.js';

/** Share of the samples inside that is taken for the gut: the darkest. */
const DARKEST = 0.15;
const TO = 12;
/** Samples looked at: every second ray. */
const PLACES = Uint16Array.from(
  Array.from({ length: RAYS / 2 }, (_, half) => 2 * half).flatMap((ray) =>
    Array.from({ length: TO - 1 }, (__, k) => insideAt(ray) + k + 1),
  ),
);

/** Their densities, filled anew for each object. */
const DENSITIES = new Float64Array(PLACES.length);

/**
 * Colour: `warmth_inside` mean over the body of blue density less red, -2..2 (yolk and gut are brown, above 0);
 * `gut_darkness` density of the darkest 15 % of the body less its mean, 0..3 (a fed gut); `gut_warmth` warmth of those
 * less the body's, -2..2.
 */
export function gutColour({ density, warmth }: PolarView): Record<string, number> {
  const values = DENSITIES;
  for (let k = 0; k < values.length; k++) values[k] = density[PLACES[k]];
  const least = nthSmallest(values, values.length - Math.round(DARKEST * values.length));
  const mean = (values: Float64Array): number => {
    let [sum, count] = [0, 0];
    for (const at of PLACES) {
      if (density[at] < least) continue;
      sum += values[at];
      count++;
    }
    return sum / count;
  };
  const inside = ringMean(warmth, 0, TO);
  return {
    warmth_inside: inside,
    gut_darkness: mean(density) - ringMean(density, 0, TO),
    gut_warmth: mean(warmth) - inside,
  };
}
