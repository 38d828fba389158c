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

/** Cosine and sine of each angle, one after the other. */
const waves = new Map<string, Float64Array>();

function waveOf(count: number, k: number): Float64Array {
  const key = `${String(count)} ${String(k)}`;
  const known = waves.get(key);
  if (known !== undefined) return known;
  const wave = new Float64Array(2 * count);
  for (let at = 0; at < count; at++) {
    const angle = (2 * Math.PI * k * at) / count;
    wave[2 * at] = Math.cos(angle);
    wave[2 * at + 1] = Math.sin(angle);
  }
  waves.set(key, wave);
  return wave;
}

/** Amplitude of the k-th harmonic of values at equal angles. */
export function harmonic(values: Float64Array, k: number): number {
  const wave = waveOf(values.length, k);
  let [cosine, sine] = [0, 0];
  for (let at = 0; at < values.length; at++) {
    cosine += values[at] * wave[2 * at];
    sine += values[at] * wave[2 * at + 1];
  }
  return (2 * Math.hypot(cosine, sine)) / values.length;
}
