import type { FeatureValues } from '../rules/discriminant.js';
import { shiftSizes } from '../rules/shift-sizes.js';
import type { StageRules } from '../rules/stage-rules.js';

/** Larvae by class, in the order of the rules' classes. */
export type ByClass = (rules: StageRules) => readonly (readonly { readonly values: FeatureValues }[])[];

/** Deviation of the sizes of populations about those of the starting rules, natural logarithm; common practice, no source. */
const POPULATIONS = 0.1;
/** Sorting and moving again: a larva's class within its stage hangs on its size. */
const ROUNDS = 3;

/**
 * How much larger all classes are than the rules say, natural logarithm: each class's mean may differ by its own deviation
 * (a batch is of one age), so many classes that moved alike are believed, one alone by half. Normal with known variances,
 * Gelman and others, "Bayesian Data Analysis", 3rd edition, section 2.5; from memory.
 */
function commonMove(rules: StageRules, members: ReturnType<ByClass>): number {
  const at = rules.features.indexOf('ln_length');
  let [sum, weight] = [0, POPULATIONS ** -2];
  rules.classes.forEach(({ mean, lnLengthDeviation }, c) => {
    const lengths = members[c].map(({ values }) => values['ln_length'] ?? Number.NaN).filter(Number.isFinite);
    if (lengths.length === 0) return;
    const average = lengths.reduce((total, length) => total + length, 0) / lengths.length;
    const trust = 1 / (lnLengthDeviation ** 2 * (1 + 1 / lengths.length));
    sum += trust * (average - mean[at]);
    weight += trust;
  });
  return sum / weight;
}

/** Rules whose classes all follow the size that checked larvae have in common; those without a length feature stay. */
export function withCommonSize(old: StageRules, byClass: ByClass): StageRules {
  if (!old.features.includes('ln_length')) return old;
  let [rules, moved] = [old, 0];
  for (let round = 0; round < ROUNDS; round++) {
    moved = commonMove(old, byClass(rules));
    rules = shiftSizes(
      old,
      old.classes.map(() => moved),
    );
  }
  return rules;
}
