import { badArgument, type Warning } from '@veligrid/model';
import {
  differenceLimits,
  exactly,
  logisticKept,
  productLimits,
  screenShare,
  twoSided,
  wilson,
  type Level,
  type Limits,
} from '@veligrid/estimation';
import { figure, listOf, type FigureBook } from '../presets/figure-book.js';
import { allometricHeight, type Allometry } from './allometry.js';
import { checkAmount } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { houseSieve, type SieveUse } from './house-sieve.js';
import { orPreset } from './or-preset.js';
import { ruleWarning } from './sentences.js';

/** Lengths of a tank and what is asked of the screens. */
export interface ScreeningQuestion {
  readonly lengthsUm: readonly number[];
  /** Heights in the order of the lengths; else by allometry, else the length stands for the height. */
  readonly heightsUm?: readonly number[];
  readonly allometry?: Allometry;
  /** Thickness over height as fitted by this hatchery. */
  readonly fittedThickness?: number;
  /** Larvae that are screened, for numbers kept and lost. */
  readonly larvae?: Limits;
  /** Openings in the house; the preset by default. */
  readonly screensUm?: readonly number[];
  /** The house's own sieve table, for the openings it has; that among its figures by default. */
  readonly sieve?: readonly SieveUse[];
  /** Part of the larvae that the screen is to keep; the preset by default. */
  readonly keepShare?: number;
  readonly level?: Level;
}

/** One screen. */
export interface ScreenAnswer {
  readonly apertureUm: number;
  /** Part kept. */
  readonly kept: Limits;
  /** `own sieve table`, `fitted thickness`, or `geometry`: then larvae across the opening are kept that would pass. */
  readonly basis: 'own sieve table' | 'fitted thickness' | 'geometry';
  readonly keptNumber: Limits | null;
  /** What passes and is lost in a cull. */
  readonly lostNumber: Limits | null;
  /** Mean length of what is kept and of what passes, as far as any do; null where none. */
  readonly meanKeptUm: number | null;
  readonly meanPassedUm: number | null;
}

/** What every screen would keep, and which to use. */
export interface ScreeningPlan extends Plan {
  readonly keepShare: number;
  readonly screens: readonly ScreenAnswer[];
  /** Largest screen that keeps the wanted part by the estimate; null when none does. */
  readonly chosenUm: number | null;
  /** Mean length over height, where heights were measured. */
  readonly lengthOverHeight: number | null;
}

const clip = (x: number): number => Math.min(1, Math.max(0, x));
const mean = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((a, b) => a + b, 0) / values.length;

/** Mean with a weight for each; null when the weights are as good as none. */
function weighted(values: readonly number[], weights: readonly number[]): number | null {
  const all = weights.reduce((a, b) => a + b, 0);
  return all < 1e-6 ? null : values.reduce((sum, value, i) => sum + value * (weights[i] ?? 0), 0) / all;
}

/** Share kept by a fitted curve: sampling of the lengths (Wilson) and the limits of L50, added by squares. */
function bySieve(
  lengths: readonly number[],
  row: SieveUse,
  level: Level,
): Pick<ScreenAnswer, 'kept' | 'basis' | 'meanKeptUm' | 'meanPassedUm'> {
  const at = (l50Um: number): number => logisticKept(lengths, { l50Um, selectionRangeUm: row.selectionRangeUm });
  const estimate = at(row.l50Um.estimate);
  const sampled = wilson(estimate * lengths.length, lengths.length, twoSided(level));
  const single = lengths.map((length) =>
    logisticKept([length], { l50Um: row.l50Um.estimate, selectionRangeUm: row.selectionRangeUm }),
  );
  return {
    kept: {
      estimate,
      low: clip(estimate - Math.hypot(estimate - sampled.low, estimate - at(row.l50Um.high))),
      high: clip(estimate + Math.hypot(sampled.high - estimate, at(row.l50Um.low) - estimate)),
    },
    basis: 'own sieve table',
    meanKeptUm: weighted(lengths, single),
    meanPassedUm: weighted(
      lengths,
      single.map((part) => 1 - part),
    ),
  };
}

function heightsOf({ lengthsUm, heightsUm, allometry }: ScreeningQuestion): readonly number[] {
  return heightsUm ?? (allometry ? lengthsUm.map((length) => allometricHeight(length, allometry)) : lengthsUm);
}

function byShape(
  question: ScreeningQuestion,
  apertureUm: number,
  level: Level,
): Pick<ScreenAnswer, 'kept' | 'basis' | 'meanKeptUm' | 'meanPassedUm'> {
  const { lengthsUm, fittedThickness: thickness } = question;
  const heights = heightsOf(question);
  const options = thickness === undefined ? { level } : { thickness, fitted: true, level };
  const shell = (i: number): { lengthUm: number; heightUm: number } => ({
    lengthUm: lengthsUm[i] ?? 0,
    heightUm: heights[i] ?? 0,
  });
  const stays = lengthsUm.map((_, i) => screenShare([shell(i)], apertureUm, options).kept.estimate === 1);
  return {
    kept: screenShare(
      lengthsUm.map((_, i) => shell(i)),
      apertureUm,
      options,
    ).kept,
    basis: thickness === undefined ? 'geometry' : 'fitted thickness',
    meanKeptUm: mean(lengthsUm.filter((_, i) => stays[i] === true)),
    meanPassedUm: mean(lengthsUm.filter((_, i) => stays[i] === false)),
  };
}

function answerOf(question: ScreeningQuestion, apertureUm: number, level: Level): ScreenAnswer {
  const row = question.sieve?.find((one) => one.apertureUm === apertureUm);
  const answer = row ? bySieve(question.lengthsUm, row, level) : byShape(question, apertureUm, level);
  const { kept } = answer;
  const { larvae } = question;
  const passed = differenceLimits(exactly(1), kept);
  return {
    apertureUm,
    ...answer,
    keptNumber: larvae ? productLimits(larvae, kept) : null,
    lostNumber: larvae ? productLimits(larvae, passed) : null,
  };
}

function check({ lengthsUm, heightsUm, larvae, keepShare = 1 }: ScreeningQuestion): void {
  if (lengthsUm.length === 0) throw badArgument('lengthsUm', 'a list of one or more', 'none');
  const bad = [...lengthsUm, ...(heightsUm ?? [])].find((length) => !(length > 0 && length < 1e6));
  if (bad !== undefined) throw badArgument('a length', 'a number of micrometres above 0 and below 1e6', bad);
  if (heightsUm !== undefined && heightsUm.length !== lengthsUm.length) {
    throw badArgument('heightsUm', `a list of ${lengthsUm.length}, as long as lengthsUm`, heightsUm.length);
  }
  if (larvae) checkAmount('larvae', larvae);
  if (!(keepShare > 0 && keepShare <= 1)) throw badArgument('keepShare', 'a part above 0 and up to 1', keepShare);
}

function screeningWarnings(
  n: number,
  screens: readonly ScreenAnswer[],
  wanted: number,
  chosen: ScreenAnswer | undefined,
): Warning[] {
  return raised([
    chosen === undefined && ruleWarning('no-screen-keeps', { wanted: 100 * wanted }),
    chosen !== undefined &&
      chosen.kept.low < wanted &&
      ruleWarning('keeps-less-perhaps', {
        screen: chosen.apertureUm,
        kept: 100 * chosen.kept.estimate,
        low: 100 * chosen.kept.low,
      }),
    n < 10 && ruleWarning('few-lengths.to-screen', {}),
    screens.some(({ basis }) => basis === 'geometry') && ruleWarning('screen-not-fitted', {}),
  ]);
}

/**
 * Part of the larvae that every screen keeps, numbers kept and lost, and the screen to use: the largest that keeps the
 * wanted part. Where the house has its own sieve table it is used, else the geometry of a stiff shell.
 *
 * @param book for `screens.ladder-um` and `screens.keep-share`
 * @throws VeligridError `bad-argument` for lengths, heights or shares out of range
 */
export function screening(question: ScreeningQuestion, book: FigureBook): ScreeningPlan {
  check(question);
  const { lengthsUm, heightsUm, screensUm, level = 0.95 } = question;
  const ladder = screensUm === undefined ? figure(book, 'screens.ladder-um') : null;
  const share = orPreset(question.keepShare, 'screens.keep-share', book);
  const keepShare = share.value;
  const openings = [...new Set(screensUm ?? (ladder === null ? [] : listOf(ladder)))].sort((a, b) => a - b);
  const house = (question.sieve ?? []).length > 0 ? { rows: question.sieve ?? [], figures: [] } : houseSieve(book);
  const screens = openings.map((aperture) => answerOf({ ...question, sieve: house.rows }, aperture, level));
  const chosen = screens.findLast(({ kept }) => kept.estimate >= keepShare);
  return {
    keepShare,
    screens,
    chosenUm: chosen?.apertureUm ?? null,
    lengthOverHeight:
      heightsUm === undefined ? null : mean(lengthsUm.map((length, i) => length / (heightsUm[i] ?? length))),
    figures: usedFigures([ladder, share.preset, ...house.figures]),
    warnings: screeningWarnings(lengthsUm.length, screens, keepShare, chosen),
    cautions: [],
  };
}
