import { discriminant, type FeatureValues } from './discriminant.js';
import type { StageRules } from './stage-rules.js';

/** What calibration inputs need of the rules. */
export type InputRules = Pick<
  StageRules,
  'features' | 'deviation' | 'low' | 'high' | 'covariance' | 'shrinkage' | 'classes' | 'centre'
>;

/** Three deviations: beyond, a length counts no more against a class, so that one that fits nowhere decides nothing. */
const MOST_SURPRISE = 4.5;

/**
 * How odd a length is in a class: half its squared distance from the class's mean in that class's own deviations, 0..4.5.
 * The discriminant has one covariance for all, but umbo larvae of all sizes spread much wider than those ready to set.
 */
function surprise(lnLength: number, { mean, lnLengthDeviation }: InputRules['classes'][number], at: number): number {
  return Math.min(MOST_SURPRISE, ((lnLength - mean[at]) / lnLengthDeviation) ** 2 / 2);
}

/**
 * Inputs of the calibration for objects: scores of the classes less their mean, divided by `spread`; then each feature, cut
 * to its range, less its centre, over its deviation (0 when it is missing); then how odd the length is in each class (0
 * when it is missing).
 */
export function calibrationInputs(rules: InputRules, spread: number): (values: FeatureValues) => Float64Array {
  const { features, deviation, low, high, classes, centre } = rules;
  const { scores } = discriminant(rules);
  const lengthAt = features.indexOf('ln_length');
  return (values) => {
    const raw = scores(values);
    const mean = raw.reduce((sum, score) => sum + score, 0) / raw.length;
    const inputs = new Float64Array(2 * classes.length + features.length);
    raw.forEach((score, c) => {
      inputs[c] = (score - mean) / spread;
    });
    features.forEach((name, k) => {
      const value = values[name];
      if (value === undefined || !Number.isFinite(value)) return;
      const cut = Math.min(high[k], Math.max(low[k], value));
      inputs[classes.length + k] = (cut - centre[k]) / deviation[k];
      if (k !== lengthAt) return;
      classes.forEach((one, c) => {
        inputs[classes.length + features.length + c] = surprise(cut, one, k);
      });
    });
    return inputs;
  };
}
