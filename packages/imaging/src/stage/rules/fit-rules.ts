import { badArgument } from '@veligrid/model';
import { fitCalibration } from './calibration.js';
import { calibrationInputs } from './calibration-inputs.js';
import { fitDiscriminant, type Fitted, type Labelled } from './fit-discriminant.js';
import type { StageRules } from './stage-rules.js';
import { fitTemperature } from './temperature.js';

const FOLDS = 5;
const LEAST_CONFIDENCE = 0.4;

/** What rules say of themselves. */
export type RulesName = Pick<StageRules, 'version' | 'parent' | 'finderVersion' | 'species'> & {
  readonly what: string;
};

/** Slides dealt into folds in order of name, so that the larvae of a slide stay together. */
function foldOf(larvae: readonly Pick<Labelled, 'slide'>[], folds: number): Map<string, number> {
  const slides = [...new Set(larvae.map(({ slide }) => slide))].sort();
  return new Map(slides.map((slide, k) => [slide, k % folds]));
}

/** Calibration inputs of every larva, the scores by a discriminant fitted without its slide's fold, undivided. */
function heldOutInputs(larvae: readonly Labelled[], fitted: Fitted): Float64Array[] {
  const folds = foldOf(larvae, FOLDS);
  const whole = calibrationInputs(fitted, 1);
  const inputs = larvae.map(({ values }) => whole(values));
  for (let fold = 0; fold < FOLDS; fold++) {
    const without = larvae.filter(({ slide }) => folds.get(slide) !== fold);
    const partly = fitDiscriminant(without, fitted.features);
    const score = calibrationInputs(partly, 1);
    const places = fitted.classes.map(({ name }) => partly.classes.findIndex((one) => one.name === name));
    if (places.includes(-1)) throw badArgument('larvae', 'every class on five slides or more', 'fewer');
    larvae.forEach((one, row) => {
      if (folds.get(one.slide) !== fold) return;
      const scores = score(one.values);
      places.forEach((at, c) => {
        inputs[row][c] = scores[at];
      });
    });
  }
  return inputs;
}

/**
 * Fits starting rules: the discriminant on all larvae, its calibration on scores that each larva got from the slides of
 * other folds.
 *
 * @param larvae labelled, every class on five slides or more
 * @param features names in the order wanted
 * @param name what the rules say of themselves
 */
export function fitRules(larvae: readonly Labelled[], features: readonly string[], name: RulesName): StageRules {
  const fitted: Fitted = fitDiscriminant(larvae, features);
  const classes = fitted.classes.length;
  const inputs = heldOutInputs(larvae, fitted);
  const truths = larvae.map((one) => fitted.classes.findIndex(({ name: own }) => own === one.name));
  const spread = fitTemperature(inputs.map((row, k) => ({ logits: row.subarray(0, classes), truth: truths[k] })));
  for (const row of inputs) for (let c = 0; c < classes; c++) row[c] /= spread;
  const weights = fitCalibration(inputs, truths, classes);
  const { what, ...own } = name;
  return {
    format: 'veligrid-stage-rules-1',
    ...own,
    origin: { what, larvae: larvae.length, slides: new Set(larvae.map(({ slide }) => slide)).size },
    ...fitted,
    calibration: { spread, weights, temperature: 1 },
    leastConfidence: LEAST_CONFIDENCE,
  };
}
