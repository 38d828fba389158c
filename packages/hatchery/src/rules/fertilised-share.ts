import type { Warning } from '@veligrid/model';
import { estimateShare, type Level, type Limits, type ScoredSlide } from '@veligrid/estimation';
import { figure, numberOf, type FigureBook } from '../presets/figure-book.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { ruleWarning } from './sentences.js';

/** A signed-off count of eggs. */
export interface FertilisedQuestion {
  /** Fertilised eggs of those that could be scored, for each photo. */
  readonly slides: readonly ScoredSlide[];
  /** Since eggs and sperm met; null when not known. */
  readonly minutes: number | null;
  /** Minutes from which fertilised eggs show it. */
  readonly showsAfterMinutes: number;
  readonly level?: Level;
}

/** Did it take? */
export interface FertilisedPlan extends Plan {
  readonly scored: number;
  readonly fertilised: number;
  /** Null when no egg could be scored. */
  readonly share: Limits | null;
  /** Not all fertilised eggs show it yet: the share can only be higher. */
  readonly atLeast: boolean;
  readonly target: number;
}

/** Fewer eggs say little: count 100 or more (ASTM E724 practice, from memory). */
const ENOUGH = 100;

function warningsOf({ scored, share, atLeast, target }: Omit<FertilisedPlan, keyof Plan>): Warning[] {
  return raised([
    share === null && ruleWarning('no-eggs', {}),
    share !== null && scored < ENOUGH && ruleWarning('few-eggs', { scored, enough: ENOUGH }),
    atLeast && ruleWarning('fertilised-at-least', {}),
    share !== null &&
      !atLeast &&
      share.estimate < target &&
      ruleWarning('below-target', { share: 100 * share.estimate, target: 100 * target }),
  ]);
}

/**
 * Share of fertilised eggs of a signed-off count, with limits that allow for eggs of a photo being alike, beside the target.
 *
 * @param book for `fertilisation.target`
 */
export function fertilisedShare(question: FertilisedQuestion, book: FigureBook): FertilisedPlan {
  const { slides, minutes, showsAfterMinutes, level = 0.95 } = question;
  const some = slides.filter(({ of }) => of > 0);
  const target = figure(book, 'fertilisation.target');
  const [scored, fertilised] = [
    some.reduce((sum, { of }) => sum + of, 0),
    some.reduce((sum, { positive }) => sum + positive, 0),
  ];
  const answer = {
    scored,
    fertilised,
    share: some.length === 0 ? null : estimateShare(some, { level }).share,
    atLeast: minutes !== null && minutes < showsAfterMinutes,
    target: numberOf(target),
  };
  return { ...answer, figures: usedFigures([target]), warnings: warningsOf(answer), cautions: [] };
}
