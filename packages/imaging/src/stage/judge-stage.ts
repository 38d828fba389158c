import type { Form, Kind, Stage } from '@veligrid/model';
import { likeliestStage, type StageProbabilities } from './rules/judge.js';
import type { Staging } from './staging.js';
import { weighByKind } from './weigh-by-kind.js';

/** One object to be judged. */
export interface ObjectToJudge {
  readonly kind: Kind;
  /** Whether it is taken for an egg, embryo or larva. */
  readonly isLarva: boolean;
  /** Finder's probability that it is what `kind` says, 0..1. */
  readonly score: number;
  readonly values: Readonly<Record<string, number>>;
  /** Probabilities of the finder's kinds, where the values alone say too little. */
  readonly kinds?: Readonly<Record<Kind, number>>;
  readonly lengthUm: number | null;
  /** Least over greatest Feret diameter, 0..1. */
  readonly feretRatio: number;
}

/** What a detection says of its stage. */
export interface Judgement {
  readonly stage: Stage;
  readonly stageProbabilities: StageProbabilities;
  /** Calibrated probability that the likeliest stage is right, and that it is a larva at all, 0..1. */
  readonly confidence: number;
  /** Whether it is an egg that has not rounded up. */
  readonly notRounded: boolean;
  readonly form?: Form;
}

/** Stages by which a kind that is no larva is named. */
const NAMED: Readonly<Partial<Record<Kind, Stage>>> = {
  bubble: 'bubble',
  ciliate: 'ciliate',
  fibre: 'fibre',
  debris: 'debris',
  alga: 'alga',
};
/** Stages whose form staff may judge. */
const WITH_FORM: ReadonlySet<Stage> = new Set([
  'two-cell',
  'four-cell',
  'morula',
  'blastula',
  'gastrula',
  'trochophore',
  'd-larva',
]);
const EGGS: ReadonlySet<Stage> = new Set(['egg', 'fertilised-egg']);
/** An egg this much longer than wide is pear-shaped still: it has not rounded up in the water (no source). */
const ROUNDED = 0.85;

function notALarva({ kind, score }: ObjectToJudge): Judgement {
  const named = NAMED[kind];
  // What looks like a larva but is too unlikely to be counted is named debris.
  const stage = named ?? 'debris';
  const confidence = named === undefined ? 1 - score : score;
  return { stage, stageProbabilities: { [stage]: confidence }, confidence, notRounded: false };
}

/**
 * Judges the stage of one object. Below the rules' least confidence it is `unsure`; what is no larva is named by its kind.
 * Form is never judged here, only marked as not judged yet.
 */
export function judgeStage(object: ObjectToJudge, staging: Staging): Judgement {
  if (!object.isLarva) return notALarva(object);
  const byFeatures = staging.probabilities(object.values, object.lengthUm);
  const stageProbabilities = object.kinds === undefined ? byFeatures : weighByKind(byFeatures, object.kinds);
  const likeliest = likeliestStage(stageProbabilities);
  const stage = likeliest.p < staging.leastConfidence ? 'unsure' : likeliest.stage;
  return {
    stage,
    stageProbabilities,
    confidence: likeliest.p * object.score,
    notRounded: EGGS.has(stage) && object.feretRatio < ROUNDED,
    ...(WITH_FORM.has(stage) ? { form: 'not-judged' } : {}),
  };
}
