import type { Stage } from '@veligrid/model';
import { judgeBy, likeliestStage } from '../rules/judge.js';
import type { StageRules } from '../rules/stage-rules.js';
import { fitTemperature, type HeldOut } from '../rules/temperature.js';
import type { Judged } from './confusion.js';
import { updateRules, type CheckedLarva, type UpdateOptions } from './update-rules.js';

/** A checked larva as the old rules and as new ones, learned without its slide, call it. */
export interface HeldOutCall {
  readonly larva: CheckedLarva;
  readonly old: Stage;
  readonly new: Stage;
}

/** What leaving out one slide after the other shows. */
export interface LeaveOneSlideOut {
  readonly calls: readonly HeldOutCall[];
  /** Temperature at which the new rules' held-out probabilities come true best, times that of the old rules. */
  readonly temperature: number;
}

/** Index of the class of a stage that the logits favour; -1 when the rules lack the stage. */
function classFor(rules: StageRules, logits: Float64Array, stage: Stage): number {
  let best = -1;
  rules.classes.forEach((one, c) => {
    if (one.stage === stage && (best < 0 || logits[c] > logits[best])) best = c;
  });
  return best;
}

/**
 * Judges every checked larva by the old rules and by rules learned from the other slides only: larvae of a slide are alike, so
 * single larvae left out would flatter the new rules.
 */
export function leaveOneSlideOut(
  old: StageRules,
  larvae: readonly CheckedLarva[],
  options: UpdateOptions = {},
): LeaveOneSlideOut {
  const before = judgeBy(old);
  const slides = [...new Set(larvae.map(({ slide }) => slide))].sort();
  const logits: HeldOut[] = [];
  const calls = slides.flatMap((slide) => {
    const others = larvae.filter((one) => one.slide !== slide);
    const learned: StageRules = { ...old, ...updateRules(old, others, options) };
    const after = judgeBy(learned);
    return larvae
      .filter((one) => one.slide === slide)
      .map((larva): HeldOutCall => {
        const own = after.logits(larva.values);
        const truth = classFor(learned, own, larva.stage);
        if (truth >= 0) logits.push({ logits: own, truth });
        return {
          larva,
          old: likeliestStage(before.probabilities(larva.values)).stage,
          new: likeliestStage(after.probabilities(larva.values)).stage,
        };
      });
  });
  return {
    calls,
    temperature:
      logits.length === 0 ? old.calibration.temperature : old.calibration.temperature * fitTemperature(logits),
  };
}

/** Calls of one set of rules as pairs of what is and what was said. */
export const judgedBy = (calls: readonly HeldOutCall[], which: 'old' | 'new'): Judged[] =>
  calls.map((call) => ({ truth: call.larva.stage, said: call[which] }));
