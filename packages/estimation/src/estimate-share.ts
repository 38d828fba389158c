import { badArgument, type Warning } from '@veligrid/model';
import { dispersionOfShares } from './share-dispersion.js';
import { checkLevel, twoSided, type Level, type Limits } from './limits.js';
import { sum } from './moments.js';
import { clopperPearson, goodman, upperWhenNoneSeen, wilson } from './proportions.js';
import type { Tally } from './tally.js';
import { warningsIf } from './warnings.js';

/** What was scored on one slide. */
export interface ScoredSlide {
  readonly positive: Tally;
  /** All that could be scored, the positive ones included, 1 or more. */
  readonly of: Tally;
}

/** A share with its limits. */
export interface ShareEstimate {
  /** Wilson's limits; over two slides or more with the design effect and Student's t. */
  readonly share: Limits;
  /** Exact limits as if all slides were one random sample. */
  readonly clopperPearson: Limits;
  /** One-sided upper limit, when none was positive. */
  readonly upperIfNone: number | null;
  /** What the share is of, in words. */
  readonly denominator: string;
  readonly positive: number;
  readonly of: number;
  /** How many times larger the variance over slides is than by chance, 1 or more; 1 for one slide. */
  readonly designEffect: number;
  /** Number scored over the design effect. */
  readonly effectiveOf: number;
  /** Chi-square of slides being alike, with its p; null for one slide. */
  readonly homogeneity: { readonly x2: number; readonly df: number; readonly p: number } | null;
  readonly warnings: readonly Warning[];
}

/** Options of a share. */
export interface ShareOptions {
  readonly level?: Level;
  /** What the share is of; 'all that could be scored' by default. */
  readonly denominator?: string;
}

/** How many times larger the variance over slides is than by chance, 1 or more. */
function designEffectOf(slides: readonly ScoredSlide[], p: number, of: number): number {
  const m = slides.length;
  const chance = (p * (1 - p)) / of;
  if (m < 2 || chance === 0) return 1;
  const over = ((m / (m - 1)) * sum(slides.map((slide) => (slide.positive - p * slide.of) ** 2))) / of ** 2;
  return Math.max(1, over / chance);
}

function checkSlides(slides: readonly ScoredSlide[]): void {
  if (slides.length === 0) throw badArgument('slides', 'a list of one or more', 'none');
  for (const [i, { positive, of }] of slides.entries()) {
    if (of < 1) throw badArgument(`slides[${i}].of`, '1 or more scored', of);
    if (positive > of)
      throw badArgument(`slides[${i}].positive`, `no more than the ${of} scored on that slide`, positive);
  }
}

/**
 * Share of a trait over slides (fertilised, eyed, abnormal). Animals on one slide are not independent, so slides are the
 * units: variance m/(m-1) sum (x - p n)^2 / (sum n)^2, design effect = that over p(1-p)/sum n, not below 1; Wilson with
 * the effective number and t of m-1 degrees of freedom. Those that could not be scored belong neither above nor below.
 *
 * @param slides one or more
 */
export function estimateShare(slides: readonly ScoredSlide[], options: ShareOptions = {}): ShareEstimate {
  const { level = 0.95, denominator = 'all that could be scored' } = options;
  checkLevel(level);
  const m = slides.length;
  const [positive, of] = [sum(slides.map((slide) => slide.positive)), sum(slides.map((slide) => slide.of))];
  checkSlides(slides);
  const p = positive / of;
  const designEffect = designEffectOf(slides, p, of);
  const effectiveOf = of / designEffect;
  const homogeneity = m < 2 ? null : dispersionOfShares(slides);
  return {
    share: { ...wilson(p * effectiveOf, effectiveOf, twoSided(level, m < 2 ? Infinity : m - 1)), estimate: p },
    clopperPearson: clopperPearson(positive, of, level),
    upperIfNone: positive === 0 ? upperWhenNoneSeen(of, level) : null,
    denominator,
    positive,
    of,
    designEffect,
    effectiveOf,
    homogeneity,
    warnings: warningsIf([
      ['one-slide', m === 1],
      ['slides-differ', (homogeneity?.p ?? 1) < 0.01],
    ]),
  };
}

/** Shares of all stages of one count, together at the level. */
export interface StagesEstimate {
  readonly stages: Readonly<Record<string, Limits & { readonly count: number }>>;
  /** All that were staged. */
  readonly of: number;
  readonly warnings: readonly Warning[];
}

/** Goodman's limits for the shares of stages; the denominator is their sum. Two stages or more. */
export function estimateStages(counts: Readonly<Record<string, Tally>>, level: Level = 0.95): StagesEstimate {
  checkLevel(level);
  const names = Object.keys(counts);
  const values = names.map((name) => Number(counts[name]));
  const limits = goodman(values, level);
  return {
    stages: Object.fromEntries(
      names.map((name, i) => [name, { ...(limits[i] ?? { estimate: 0, low: 0, high: 1 }), count: values[i] ?? 0 }]),
    ),
    of: sum(values),
    warnings: warningsIf([['few-counted', sum(values) < 30]]),
  };
}
