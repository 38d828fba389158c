import { STAGES, type Stage } from '@veligrid/model';
import { FEATURES } from '../feature-list.js';
import { cutPoint } from './cut-point.js';
import { judgeBy } from './judge.js';
import type { StageClass, StageRules } from './stage-rules.js';

/** A feature that helps to tell two stages apart. */
export interface WeighingFeature {
  readonly name: string;
  readonly words: string;
  readonly unit: string;
  /** Value half way between the two stages. */
  readonly halfWay: number;
  /** The second stage lies above it. */
  readonly secondIsAbove: boolean;
  /** Share of what tells the two apart, 0..1. */
  readonly share: number;
}

/** What tells two neighbouring stages apart. */
export interface StageThreshold {
  readonly first: Stage;
  readonly second: Stage;
  /** Length at which the two are equally likely if nothing but length were known, micrometres; null when lengths are alike. */
  readonly lengthCutUm: number | null;
  /** Middle and usual range (two deviations) of length of each stage, micrometres. */
  readonly firstLengthUm: readonly [number, number, number];
  readonly secondLengthUm: readonly [number, number, number];
  /** The features that weigh most, heaviest first. */
  readonly features: readonly WeighingFeature[];
  /** Larvae behind each of the two. */
  readonly larvae: readonly [number, number];
}

/** Features shown a pair. */
const SHOWN = 3;
/** Mean lengths closer than this many deviations are alike. */
const ALIKE = 0.5;
/** Stages that develop from one to the next. */
const DEVELOPING: readonly Stage[] = STAGES.slice(0, STAGES.indexOf('empty-shell'));

/** Classes of a stage from the smallest to the largest. */
function classesOf(rules: StageRules, stage: Stage, lengthAt: number): StageClass[] {
  return rules.classes.filter((one) => one.stage === stage).sort((a, b) => a.mean[lengthAt] - b.mean[lengthAt]);
}

function weighing(rules: StageRules, first: StageClass, second: StageClass): WeighingFeature[] {
  const judge = judgeBy(rules);
  const [a, b] = [rules.classes.indexOf(first), rules.classes.indexOf(second)];
  const own = Object.fromEntries(rules.features.map((name, k) => [name, first.mean[k]]));
  const lean = (values: Record<string, number>): number => {
    const logits = judge.logits(values);
    return logits[b] - logits[a];
  };
  // Logits are linear, but for length: each feature's part is what the difference gains when it alone goes over to the second stage.
  const start = lean(own);
  const parts = rules.features.map((name, k) => lean({ ...own, [name]: second.mean[k] }) - start);
  const sum = parts.reduce((total, part) => total + Math.abs(part), 0);
  return rules.features
    .map((name, k): WeighingFeature => {
      const known = FEATURES.find((one) => one.name === name);
      return {
        name,
        words: known?.words ?? name,
        unit: known?.unit ?? '',
        halfWay: (first.mean[k] + second.mean[k]) / 2,
        secondIsAbove: second.mean[k] > first.mean[k],
        share: parts[k] / sum,
      };
    })
    .sort((x, y) => y.share - x.share)
    .slice(0, SHOWN);
}

/**
 * What tells neighbouring stages apart, for people: the length at which two are equally likely, and the features that weigh
 * most. Of a stage with several classes the one next to the other stage is taken.
 */
export function thresholdTable(rules: StageRules): StageThreshold[] {
  const lengthAt = rules.features.indexOf('ln_length');
  const stages = DEVELOPING.filter((stage) => rules.classes.some((one) => one.stage === stage));
  return stages.slice(1).flatMap((stage, k): StageThreshold[] => {
    const first = classesOf(rules, stages[k], lengthAt).at(-1);
    const second = classesOf(rules, stage, lengthAt).at(0);
    if (first === undefined || second === undefined) return [];
    const normal = (one: StageClass): { mean: number; deviation: number; prior: number } => ({
      mean: one.mean[lengthAt],
      deviation: one.lnLengthDeviation,
      prior: 1,
    });
    const [lower, higher] = [normal(first), normal(second)];
    const apart = (higher.mean - lower.mean) / Math.max(lower.deviation, higher.deviation);
    const range = ({ mean, deviation }: typeof lower): readonly [number, number, number] => [
      Math.exp(mean),
      Math.exp(mean - 2 * deviation),
      Math.exp(mean + 2 * deviation),
    ];
    return [
      {
        first: first.stage,
        second: second.stage,
        lengthCutUm: apart > ALIKE ? Math.exp(cutPoint(lower, higher)) : null,
        firstLengthUm: range(lower),
        secondLengthUm: range(higher),
        features: weighing(rules, first, second),
        larvae: [first.larvae, second.larvae],
      },
    ];
  });
}
