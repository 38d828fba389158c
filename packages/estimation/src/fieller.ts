/** Limits of a ratio; null when the denominator is too uncertain to bound it. */
export interface FiellerLimits {
  /** t^2 u_r^2 of the denominator: below 0.05 these limits and those of the logarithm agree; at 1 there are none. */
  readonly g: number;
  readonly limits: { readonly low: number; readonly high: number } | null;
}

/** Means with their variances and covariance. */
export interface RatioInput {
  readonly numerator: number;
  readonly denominator: number;
  readonly numeratorVariance: number;
  readonly denominatorVariance: number;
  readonly covariance?: number;
}

/**
 * Fieller's limits of a ratio (Fieller 1954, from memory): roots of A x^2 - 2 B x + C with A = b^2 - t^2 vb,
 * B = ab - t^2 cab, C = a^2 - t^2 va. Assumes both about normal.
 *
 * @param t two-sided quantile
 */
export function fieller(input: RatioInput, t: number): FiellerLimits {
  const { numerator: a, denominator: b, numeratorVariance, denominatorVariance, covariance = 0 } = input;
  const g = (t * t * denominatorVariance) / (b * b);
  if (g >= 1) return { g, limits: null };
  const A = b * b - t * t * denominatorVariance;
  const B = a * b - t * t * covariance;
  const C = a * a - t * t * numeratorVariance;
  const root = Math.sqrt(Math.max(0, B * B - A * C));
  return { g, limits: { low: (B - root) / A, high: (B + root) / A } };
}
