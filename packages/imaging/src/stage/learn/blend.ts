/** What is held of a normal quantity before data: worth `meanWeight` and `varianceWeight` observations. */
export interface NormalPrior {
  readonly mean: number;
  readonly deviation: number;
  readonly meanWeight: number;
  readonly varianceWeight: number;
}

/** What is held after data. */
export interface NormalPosterior {
  readonly mean: number;
  readonly variance: number;
  readonly meanWeight: number;
  readonly varianceWeight: number;
  /** Scale of Student's t, with `varianceWeight` degrees of freedom, for the next observation. */
  readonly predictiveScale: number;
}

/**
 * Blends a prior with observations (normal, inverse chi squared): k = k0 + n, mean = (k0 m0 + n xbar) / k,
 * variance = (nu0 s0^2 + SS + k0 n / k (xbar - m0)^2) / (nu0 + n). Gelman and others, "Bayesian Data Analysis", 3rd
 * edition, section 3.3; from memory.
 */
export function blendNormal(prior: NormalPrior, observed: readonly number[]): NormalPosterior {
  const n = observed.length;
  const average = n > 0 ? observed.reduce((a, b) => a + b, 0) / n : prior.mean;
  const squares = observed.reduce((sum, value) => sum + (value - average) ** 2, 0);
  const meanWeight = prior.meanWeight + n;
  const varianceWeight = prior.varianceWeight + n;
  const apart = ((prior.meanWeight * n) / meanWeight) * (average - prior.mean) ** 2;
  const variance = (prior.varianceWeight * prior.deviation ** 2 + squares + apart) / varianceWeight;
  return {
    mean: blendedMean(prior.mean, prior.meanWeight, average, n),
    variance,
    meanWeight,
    varianceWeight,
    predictiveScale: Math.sqrt(variance * (1 + 1 / meanWeight)),
  };
}

/** Mean of a prior worth `weight` observations and n observations. */
export const blendedMean = (prior: number, weight: number, observed: number, n: number): number =>
  (weight * prior + n * observed) / (weight + n);
