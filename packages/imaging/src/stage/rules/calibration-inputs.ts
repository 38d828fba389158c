import { discriminant, type FeatureValues } from './discriminant.js';
import type { StageRules } from './stage-rules.js';

/** What calibration inputs need of the rules. */
export type InputRules = Pick<
  StageRules,
  'features' | 'deviation' | 'low' | 'high' | 'covariance' | 'shrinkage' | 'classes' | 'centre'
>;

/**
 * Inputs of the calibration for objects: scores of the classes less their mean, divided by `spread`; then each feature, cut
 * to its range, less its centre, over its deviation (0 when it is missing).
 */
export function calibrationInputs(rules: InputRules, spread: number): (values: FeatureValues) => Float64Array {
  const { features, deviation, low, high, classes, centre } = rules;
  const { scores } = discriminant(rules);
  return (values) => {
    const raw = scores(values);
    const mean = raw.reduce((sum, score) => sum + score, 0) / raw.length;
    const inputs = new Float64Array(classes.length + features.length);
    raw.forEach((score, c) => {
      inputs[c] = (score - mean) / spread;
    });
    features.forEach((name, k) => {
      const value = values[name];
      if (value === undefined || !Number.isFinite(value)) return;
      inputs[classes.length + k] = (Math.min(high[k], Math.max(low[k], value)) - centre[k]) / deviation[k];
    });
    return inputs;
  };
}
