import type { Stage } from '@veligrid/model';
import { judgeBy, likeliestStage } from '../rules/judge.js';
import type { StageRules } from '../rules/stage-rules.js';
import { compare, gate, type Comparison, type GateAnswer } from './gate.js';
import { leaveOneSlideOut, type HeldOutCall } from './held-out.js';
import { updateRules, type CheckedLarva, type UpdateOptions } from './update-rules.js';

/** How a larva came to be looked at: at random, because the program doubted, or because a person picked it. */
export const HOWS = ['audit', 'doubtful', 'chosen'] as const;
export type How = (typeof HOWS)[number];

/** A checked larva with how it came to be looked at. */
export interface LabelledCheck extends CheckedLarva {
  readonly how: How;
}

/** How rules are learned. */
export interface LearnOptions extends UpdateOptions {
  /** Version of the new rules. */
  readonly version: string;
  /** Larvae that never change and on which new rules may not be worse. Default: none. */
  readonly reference?: readonly CheckedLarva[];
}

/** Stage that was touched, and whether there was enough of it. */
export interface TouchedStage {
  readonly stage: Stage;
  readonly larvae: number;
  readonly slides: number;
  readonly used: boolean;
}

/** What came of learning. The rules are to be used only when the gate accepts them. */
export interface Learned {
  readonly rules: StageRules;
  readonly gate: GateAnswer;
  readonly audited: Comparison | null;
  readonly reference: Comparison | null;
  readonly touched: readonly TouchedStage[];
}

const FEWEST = 8;

function touchedStages(larvae: readonly CheckedLarva[], old: StageRules, fewest: number): TouchedStage[] {
  const stages = [...new Set(larvae.map(({ stage }) => stage))];
  return stages.map((stage) => {
    const own = larvae.filter((one) => one.stage === stage);
    const known = old.classes.some((one) => one.stage === stage);
    const slides = new Set(own.map(({ slide }) => slide)).size;
    return { stage, larvae: own.length, slides, used: known && own.length >= fewest };
  });
}

function referenceCalls(old: StageRules, learned: StageRules, larvae: readonly CheckedLarva[]): HeldOutCall[] {
  const [before, after] = [judgeBy(old), judgeBy(learned)];
  return larvae.map((larva) => ({
    larva,
    old: likeliestStage(before.probabilities(larva.values)).stage,
    new: likeliestStage(after.probabilities(larva.values)).stage,
  }));
}

/**
 * Learns from checked larvae: the rules at hand are blended with all of them, the audited ones decide whether the result may
 * be used.
 *
 * @param old rules at hand
 * @param checks every larva looked at, unchanged ones too
 */
export function learnRules(old: StageRules, checks: readonly LabelledCheck[], options: LearnOptions): Learned {
  const { version, reference = [], fewest = FEWEST } = options;
  const { calls, temperature } = leaveOneSlideOut(old, checks, options);
  const audit = new Set<CheckedLarva>(checks.filter(({ how }) => how === 'audit'));
  const auditCalls = calls.filter(({ larva }) => audit.has(larva));
  const audited = auditCalls.length === 0 ? null : compare(auditCalls);
  const slides = new Set(checks.map(({ slide }) => slide)).size;
  const rules: StageRules = {
    ...old,
    ...updateRules(old, checks, options),
    version,
    parent: old.version,
    origin: {
      what: `Rules ${old.version} blended with ${String(checks.length)} larvae checked by people on ${String(slides)} slides; veligrid learn`,
      larvae: old.origin.larvae + checks.length,
      slides: old.origin.slides + slides,
    },
    calibration: { ...old.calibration, temperature },
  };
  const frozen = reference.length === 0 ? null : compare(referenceCalls(old, rules, reference));
  return {
    rules,
    gate: gate(audited, frozen),
    audited,
    reference: frozen,
    touched: touchedStages(checks, old, fewest),
  };
}
