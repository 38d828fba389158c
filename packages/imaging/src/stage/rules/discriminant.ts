import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { StageRules } from './stage-rules.js';

/** What the discriminant needs of the rules. */
export type DiscriminantRules = Pick<
  StageRules,
  'features' | 'deviation' | 'low' | 'high' | 'covariance' | 'shrinkage' | 'classes'
>;

/** Values of features by name; a missing one is not used. */
export type FeatureValues = Readonly<Record<string, number | undefined>>;

/** Tells classes apart by their features. */
export interface Discriminant {
  /**
   * Logarithm of how likely the features are in each class, up to a constant, in the order of the classes: x' S^-1 m -
   * m' S^-1 m / 2 with the features that are there.
   */
  readonly scores: (values: FeatureValues) => Float64Array;
}

interface Linear {
  readonly used: readonly number[];
  /** Feature by feature, one number a class. */
  readonly weights: Float64Array;
  readonly offsets: Float64Array;
}

/** Covariance shrunk towards its mean variance: (1 - d) S + d mean(diag S) I. */
export function shrunk(covariance: readonly (readonly number[])[], shrinkage: number): Matrix {
  const matrix = new Matrix(covariance.map((row) => [...row])).mul(1 - shrinkage);
  const mean = covariance.reduce((sum, row, k) => sum + row[k], 0) / covariance.length;
  for (let k = 0; k < covariance.length; k++) matrix.set(k, k, matrix.get(k, k) + shrinkage * mean);
  return matrix;
}

function solve(rules: DiscriminantRules, covariance: Matrix, used: readonly number[]): Linear {
  const { classes, deviation } = rules;
  const means = new Matrix(used.map((k) => classes.map(({ mean }) => mean[k] / deviation[k])));
  const weights = new CholeskyDecomposition(covariance.selection([...used], [...used])).solve(means);
  const offsets = new Float64Array(classes.length);
  for (let c = 0; c < classes.length; c++) {
    for (let row = 0; row < used.length; row++) offsets[c] -= (weights.get(row, c) * means.get(row, c)) / 2;
  }
  return { used, weights: Float64Array.from(weights.to1DArray()), offsets };
}

/**
 * Shrinkage discriminant: one covariance for all classes, shrunk towards its mean variance (Ledoit and Wolf 2004, from
 * memory), on features divided by their within-class deviation. An object that lacks features is judged by the others:
 * the normal distribution of those alone.
 *
 * @param rules with a positive definite covariance
 */
export function discriminant(rules: DiscriminantRules): Discriminant {
  const { features, deviation, low, high } = rules;
  const covariance = shrunk(rules.covariance, rules.shrinkage);
  const solved = new Map<string, Linear>();
  const whole = solve(rules, covariance, [...features.keys()]);
  const linearFor = (values: FeatureValues): Linear => {
    if (features.every((name) => Number.isFinite(values[name]))) return whole;
    const used = features.flatMap((name, k) => (Number.isFinite(values[name]) ? [k] : []));
    const key = used.join();
    const known = solved.get(key) ?? solve(rules, covariance, used);
    solved.set(key, known);
    return known;
  };
  const scores = (values: FeatureValues): Float64Array => {
    const { used, weights, offsets } = linearFor(values);
    const sums = offsets.slice();
    let at = 0;
    for (const k of used) {
      const value = Math.min(high[k], Math.max(low[k], values[features[k]] ?? 0)) / deviation[k];
      for (let c = 0; c < sums.length; c++) sums[c] += value * weights[at++];
    }
    return sums;
  };
  return { scores };
}
