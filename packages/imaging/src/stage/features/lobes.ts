/** Fewest and most lobes told apart. */
const HARMONICS = [2, 3, 4, 5, 6] as const;

/**
 * How strongly the outline swells in k lobes: amplitude of the k-th harmonic of the rim's radius over its mean, 0..0.5,
 * as `lobes_2` (two cells, ovals) to `lobes_6`. A circle has none.
 *
 * @param radii rim radii at equal angles
 */
export function lobes(radii: Float64Array): Record<string, number> {
  const mean = radii.reduce((sum, radius) => sum + radius, 0) / radii.length;
  return Object.fromEntries(HARMONICS.map((k) => [`lobes_${String(k)}`, harmonic(radii, k) / mean]));
}

/** Amplitude of the k-th harmonic of values at equal angles. */
export function harmonic(values: Float64Array, k: number): number {
  let [cosine, sine] = [0, 0];
  for (let at = 0; at < values.length; at++) {
    const angle = (2 * Math.PI * k * at) / values.length;
    cosine += values[at] * Math.cos(angle);
    sine += values[at] * Math.sin(angle);
  }
  return (2 * Math.hypot(cosine, sine)) / values.length;
}
