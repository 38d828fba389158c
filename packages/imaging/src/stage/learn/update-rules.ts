import type { Stage } from '@veligrid/model';
import { judgeBy } from '../rules/judge.js';
import type { FeatureValues } from '../rules/discriminant.js';
import type { StageClass, StageRules } from '../rules/stage-rules.js';
import { blendedMean, blendNormal } from './blend.js';
import { withCommonSize } from './common-size.js';

/** One larva that a person looked at. */
export interface CheckedLarva {
  /** Photo it lies on. */
  readonly slide: string;
  readonly stage: Stage;
  readonly values: FeatureValues;
}

/** How much the rules at hand weigh against corrections. */
export interface UpdateOptions {
  /** Larvae's worth of a class's mean. Default 8. */
  readonly meanWeight?: number;
  /** Larvae's worth of the covariance. Default 6000: a hundred a feature. */
  readonly covarianceWeight?: number;
  /** Fewest larvae of a stage that move it. Default 8. */
  readonly fewest?: number;
}

/** Larvae sorted by the class of the rules that each belongs to: of its stage's classes the likeliest. */
function byClass(rules: StageRules, larvae: readonly CheckedLarva[], fewest: number): CheckedLarva[][] {
  const judge = judgeBy(rules);
  const members: CheckedLarva[][] = rules.classes.map(() => []);
  for (const larva of larvae) {
    const logits = judge.logits(larva.values);
    let best = -1;
    rules.classes.forEach(({ stage }, c) => {
      if (stage === larva.stage && (best < 0 || logits[c] > logits[best])) best = c;
    });
    if (best >= 0) members[best].push(larva);
  }
  const enough = (stage: Stage): boolean => larvae.filter((one) => one.stage === stage).length >= fewest;
  return members.map((own, c) => (enough(rules.classes[c].stage) ? own : []));
}

/**
 * Correlation of larvae of one class on one slide, 0..1: they share light, focus and water. Slides differ by 0.8 of the
 * deviation within them (simulated; common practice, no source), 0.64 / 1.64.
 */
const ON_ONE_SLIDE = 0.39;

/** What each larva counts for: a slide of n of a class for n / (1 + (n - 1) r) (Kish 1965, Survey Sampling; from memory). */
function weightsOf(larvae: readonly CheckedLarva[]): number[] {
  const onSlide = new Map<string, number>();
  for (const { slide } of larvae) onSlide.set(slide, (onSlide.get(slide) ?? 0) + 1);
  return larvae.map(({ slide }) => 1 / (1 + ((onSlide.get(slide) ?? 1) - 1) * ON_ONE_SLIDE));
}

/** Value of a feature within the rules' range, widened by `slack` of the range; the class mean when it is missing. */
function clipped(rules: StageRules, values: FeatureValues, k: number, mean: number): number {
  const value = values[rules.features[k]];
  if (value === undefined || !Number.isFinite(value)) return mean;
  return Math.min(rules.high[k], Math.max(rules.low[k], value));
}

/** Larvae's worth of a class's spread in length: much, for the larvae of a batch are of one age. */
const SPREAD_WEIGHT = 100;

function lengthDeviation(
  one: StageClass,
  larvae: readonly CheckedLarva[],
  rules: StageRules,
  meanWeight: number,
): number {
  const lengths = larvae.map(({ values }) => values['ln_length'] ?? Number.NaN).filter(Number.isFinite);
  const mean = one.mean[rules.features.indexOf('ln_length')] ?? 0;
  const prior = { mean, deviation: one.lnLengthDeviation, meanWeight, varianceWeight: SPREAD_WEIGHT };
  return Math.sqrt(blendNormal(prior, lengths).variance);
}

/** Range of features widened to hold those of the checked larvae, all but the lowest and highest hundredth. */
function widened(rules: StageRules, larvae: readonly CheckedLarva[]): StageRules {
  const low = [...rules.low];
  const high = [...rules.high];
  rules.features.forEach((name, k) => {
    const values = larvae.map((one) => one.values[name] ?? Number.NaN).filter(Number.isFinite);
    values.sort((a, b) => a - b);
    if (values.length === 0) return;
    const at = Math.floor(0.01 * (values.length - 1));
    low[k] = Math.min(low[k], values[at]);
    high[k] = Math.max(high[k], values[values.length - 1 - at]);
  });
  return { ...rules, low, high };
}

/**
 * How far a feature moved in common: mean over the checked larvae of their class's move, held to none by `weight` larvae. The
 * calibration takes its distances from a centre, which has to follow.
 */
function commonMove(
  old: StageRules,
  classes: readonly StageClass[],
  members: readonly (readonly CheckedLarva[])[],
  k: number,
  weight: number,
): number {
  let [sum, larvae] = [0, 0];
  members.forEach((own, c) => {
    sum += own.length * (classes[c].mean[k] - old.classes[c].mean[k]);
    larvae += own.length;
  });
  return sum / (larvae + weight);
}

/**
 * Rules moved by checked larvae: all classes follow the size that the larvae have in common, then each class mean is
 * blended with its larvae, and the covariance with their spread about the new means. Calibration, shrinkage and classes without enough larvae stay.
 *
 * @param old rules at hand
 * @param larvae checked ones; those of stages the rules don't have are passed over
 */
export function updateRules(
  old: StageRules,
  larvae: readonly CheckedLarva[],
  options: UpdateOptions = {},
): Pick<StageRules, 'low' | 'high' | 'centre' | 'covariance' | 'freedom' | 'classes'> {
  const { meanWeight = 8, covarianceWeight = 6000, fewest = 8 } = options;
  const resized = withCommonSize(old, (rules) => byClass(rules, larvae, fewest));
  const rules = widened(resized, larvae);
  const members = byClass(resized, larvae, fewest);
  const classes = rules.classes.map((one, c): StageClass => {
    const own = members[c];
    if (own.length === 0) return one;
    const weights = weightsOf(own);
    const weight = weights.reduce((sum, value) => sum + value, 0);
    const mean = one.mean.map((prior, k) => {
      const sum = own.reduce((total, { values }, n) => total + weights[n] * clipped(rules, values, k, prior), 0);
      return blendedMean(prior, meanWeight, sum / weight, weight);
    });
    const slides = new Set(own.map(({ slide }) => slide)).size;
    return {
      ...one,
      mean,
      lnLengthDeviation: lengthDeviation(one, own, rules, meanWeight),
      larvae: one.larvae + own.length,
      slides: one.slides + slides,
    };
  });
  const used = members.reduce((sum, own) => sum + own.length, 0);
  const sums = rules.covariance.map((row) => row.map((value) => value * covarianceWeight));
  members.forEach((own, c) => {
    for (const { values } of own) {
      const residual = classes[c].mean.map((mean, k) => (clipped(rules, values, k, mean) - mean) / rules.deviation[k]);
      residual.forEach((a, i) => {
        residual.forEach((b, j) => {
          sums[i][j] += a * b;
        });
      });
    }
  });
  return {
    low: rules.low,
    high: rules.high,
    centre: rules.centre.map((centre, k) => centre + commonMove(old, classes, members, k, meanWeight)),
    covariance: sums.map((row) => row.map((value) => value / (covarianceWeight + used))),
    freedom: old.freedom + used,
    classes,
  };
}
