/** Shares of the length along the axis: the middle part and the shoulders. */
const MIDDLE = 0.1;
const SHOULDER_FROM = 0.24;
const SHOULDER_TO = 0.36;

function rise(radii: Float64Array, lengthPx: number, side: 1 | -1): number | null {
  let [middle, middles, shoulder, shoulders] = [0, 0, 0, 0];
  for (let ray = 0; ray < radii.length; ray++) {
    const angle = (2 * Math.PI * ray) / radii.length;
    const across = side * radii[ray] * Math.sin(angle);
    if (across <= 0) continue;
    const along = Math.abs(radii[ray] * Math.cos(angle)) / lengthPx;
    if (along < MIDDLE) {
      middle += across;
      middles++;
    } else if (along > SHOULDER_FROM && along < SHOULDER_TO) {
      shoulder += across;
      shoulders++;
    }
  }
  if (middles === 0 || shoulders === 0) return null;
  return (middle / middles - shoulder / shoulders) / lengthPx;
}

/**
 * How far the middle of each long side stands above its shoulders (at 0.24 to 0.36 of the length from the middle), over
 * the length, -0.2..0.5. `rise_flat` is that of the flatter side: about 0 for a straight hinge, 0.06 for an ellipse as
 * high as long, more for a knobbed umbo; `rise_round` that of the other.
 *
 * @param radii rim radii at equal angles, the first along the length
 * @param lengthPx length, above 0
 */
export function umbo(radii: Float64Array, lengthPx: number): Record<string, number> {
  const sides = [rise(radii, lengthPx, 1), rise(radii, lengthPx, -1)].filter((value) => value !== null);
  if (sides.length < 2) return {};
  return { rise_flat: Math.min(...sides), rise_round: Math.max(...sides) };
}
