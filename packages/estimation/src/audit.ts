import { badArgument, type Warning } from '@veligrid/model';
import type { Level, Limits } from './limits.js';
import { checkLevel } from './limits.js';
import { mean, standardDeviation, sum } from './moments.js';
import { studentQuantile } from './special-functions.js';
import { warning } from './warnings.js';

/** One square: what was detected, and what staff confirmed when it was drawn for checking. */
export interface AuditSquare {
  readonly detected: number;
  /** Null when the square was not checked. */
  readonly confirmed: number | null;
}

/** Total of all squares corrected by the checked ones. */
export interface AuditEstimate {
  /** All squares together: detected + squares x mean difference. Use when misses and false finds are few. */
  readonly difference: Limits & { readonly standardErrorOfMean: number };
  /** All squares together: detected x ratio. Null when nothing was detected in the checked squares. */
  readonly ratio: (Limits & { readonly ratio: number; readonly relativeStandardUncertainty: number }) | null;
  readonly squares: number;
  readonly audited: number;
  readonly warnings: readonly Warning[];
}

const around = (estimate: number, h: number): Limits => ({
  estimate,
  low: Math.max(0, estimate - h),
  high: estimate + h,
});

/**
 * Corrects detected counts by squares that staff checked in full, misses and false finds both. Two-sided t limits with
 * audited - 1 degrees of freedom and the finite population correction, as the squares are all there are of this slide.
 * Assumes the checked squares were drawn at random (`drawSquares`), never picked by staff or by score.
 *
 * @param squares every counted square of the slide; 2 or more of them checked
 */
export function auditEstimate(squares: readonly AuditSquare[], level: Level = 0.95): AuditEstimate {
  checkLevel(level);
  const checked = squares.flatMap(({ detected, confirmed }) => (confirmed === null ? [] : [{ detected, confirmed }]));
  const [all, m] = [squares.length, checked.length];
  if (m < 2) throw badArgument('squares', 'a list with 2 or more confirmed squares', `${m} confirmed`);
  const total = sum(squares.map(({ detected }) => detected));
  const differences = checked.map(({ detected, confirmed }) => confirmed - detected);
  const t = studentQuantile((1 + level) / 2, m - 1);
  const finite = Math.sqrt(1 - m / all);
  const standardErrorOfMean = (finite * standardDeviation(differences)) / Math.sqrt(m);
  const difference = Math.max(0, total + all * mean(differences));
  return {
    difference: { ...around(difference, t * all * standardErrorOfMean), standardErrorOfMean },
    ratio: ratioEstimate(checked, { total, all, t }),
    squares: all,
    audited: m,
    warnings: [
      ...(m < 5 ? [warning('few-audited')] : []),
      ...(detectedNothing(checked) ? [warning('nothing-detected')] : []),
    ],
  };
}

type Checked = { readonly detected: number; readonly confirmed: number };

const detectedNothing = (checked: readonly Checked[]): boolean => checked.every(({ detected }) => detected === 0);

function ratioEstimate(
  checked: readonly Checked[],
  { total, all, t }: { readonly total: number; readonly all: number; readonly t: number },
): AuditEstimate['ratio'] {
  if (detectedNothing(checked)) return null;
  const m = checked.length;
  const ratio = sum(checked.map(({ confirmed }) => confirmed)) / sum(checked.map(({ detected }) => detected));
  const residuals = checked.map(({ detected, confirmed }) => confirmed - ratio * detected);
  const residualSd = Math.sqrt(sum(residuals.map((r) => r * r)) / (m - 1));
  const ofMean = residualSd / Math.sqrt(m);
  const meanDetected = mean(checked.map(({ detected }) => detected));
  return {
    ...around(total * ratio, t * all * Math.sqrt(1 - m / all) * ofMean),
    ratio,
    relativeStandardUncertainty: ratio === 0 ? 0 : ofMean / (meanDetected * ratio),
  };
}

/** A square drawn for checking. */
export interface DrawnSquare {
  readonly name: string;
  /** One in five is tallied by hand before any outline is shown, so that outlines can't lead the eye. */
  readonly blind: boolean;
}

/**
 * Draws squares to check at random, each as likely as any other.
 *
 * @param names all counted squares
 * @param count how many to draw, 1 or more
 * @param random numbers from 0 up to, not including, 1; kept with the count so that the draw can be repeated
 * @returns in the order to check them; the first, sixth, eleventh... are blind
 */
export function drawSquares(names: readonly string[], count: number, random: () => number): DrawnSquare[] {
  if (!Number.isInteger(count) || count < 1 || count > names.length) {
    throw badArgument('the number of squares to check', `a whole number from 1 to ${names.length}`, count);
  }
  const left = [...names];
  return Array.from({ length: count }, (_, i) => {
    const [name = ''] = left.splice(Math.floor(random() * left.length), 1);
    return { name, blind: i % 5 === 0 };
  });
}
