import type { StageRules } from './stage-rules.js';

/** Features that are logarithms of a length. */
const SIZES: ReadonlySet<string> = new Set(['ln_length', 'ln_diameter']);

/**
 * Rules whose classes are larger or smaller, everything else unchanged.
 *
 * @param shifts natural logarithm of the ratio of sizes, one a class
 */
export function shiftSizes(rules: StageRules, shifts: readonly number[]): StageRules {
  const isSize = rules.features.map((name) => SIZES.has(name));
  return {
    ...rules,
    low: rules.low.map((value, k) => value + (isSize[k] ? Math.min(0, ...shifts) : 0)),
    high: rules.high.map((value, k) => value + (isSize[k] ? Math.max(0, ...shifts) : 0)),
    classes: rules.classes.map((one, c) => ({
      ...one,
      mean: one.mean.map((value, k) => value + (isSize[k] ? shifts[c] : 0)),
    })),
  };
}
