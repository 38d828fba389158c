import { STAGES, type Stage } from '@veligrid/model';
import { calibrator } from './calibration.js';
import { calibrationInputs } from './calibration-inputs.js';
import type { FeatureValues } from './discriminant.js';
import { softmax } from './softmax.js';
import type { StageRules } from './stage-rules.js';

/** Probability of each stage above 0.0005, 0..1. */
export type StageProbabilities = Readonly<Partial<Record<Stage, number>>>;

/**
 * What is known of a sample beforehand: how much more (above 1) or less likely each stage is than without that knowledge;
 * 0 rules it out. A stage that is left out has weight 1.
 */
export type StageWeights = Readonly<Partial<Record<Stage, number>>>;

/** Rules ready for use. */
export interface Judge {
  /** Calibrated logits of the classes, in their order. */
  readonly logits: (values: FeatureValues) => Float64Array;
  /** Probabilities of stages. */
  readonly probabilities: (values: FeatureValues, weights?: StageWeights) => StageProbabilities;
}

const LEAST_SHOWN = 0.0005;

/** Makes rules ready for use: the discriminant is solved once. */
export function judgeBy(rules: StageRules): Judge {
  const { spread, weights: calibration, temperature } = rules.calibration;
  const inputs = calibrationInputs(rules, spread);
  const calibrate = calibrator(calibration);
  const logits = (values: FeatureValues): Float64Array => calibrate(inputs(values)).map((logit) => logit / temperature);
  const probabilities = (values: FeatureValues, weights: StageWeights = {}): StageProbabilities => {
    const known = rules.classes.map(({ stage }) => Math.log(weights[stage] ?? 1));
    const p = softmax(logits(values).map((logit, c) => logit + known[c]));
    const sums: Partial<Record<Stage, number>> = {};
    rules.classes.forEach(({ stage }, c) => {
      sums[stage] = (sums[stage] ?? 0) + p[c];
    });
    return Object.fromEntries(
      STAGES.map((stage) => [stage, sums[stage] ?? 0] as const).filter(([, sum]) => sum >= LEAST_SHOWN),
    );
  };
  return { logits, probabilities };
}

/** The likeliest stage and its probability; `unsure` with 0 when there is none. */
export function likeliestStage(probabilities: StageProbabilities): { readonly stage: Stage; readonly p: number } {
  let best: { stage: Stage; p: number } = { stage: 'unsure', p: 0 };
  for (const stage of STAGES) {
    const p = probabilities[stage] ?? 0;
    if (p > best.p) best = { stage, p };
  }
  return best;
}
