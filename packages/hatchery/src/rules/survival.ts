import { badArgument, warningOf, type Warning } from '@veligrid/model';
import {
  differenceLimits,
  estimateSurvival,
  exactly,
  ratioLimits,
  sumLimits,
  times,
  type Level,
  type Limits,
} from '@veligrid/estimation';
import { figure, numberOf, type FigureBook } from '../presets/figure-book.js';
import { checkAmount, datedTotal, type Amount } from './amount.js';
import { raised, type Plan } from './answer.js';
import { caution } from './cautions.js';
import { RULE_SUBJECTS, ruleWarning } from './sentences.js';

/** Larvae alive on one day. */
export interface AliveCount {
  /** Days since fertilisation or any other day 0, rising. */
  readonly day: number;
  readonly alive: Amount;
  /** Live larvae taken out since the count before (samples, culls, moved out); 0 by default. */
  readonly takenOut?: number;
  /** Live larvae put in since the count before; 0 by default. */
  readonly putIn?: number;
  /** Method or person, told apart by its text. */
  readonly method?: string;
}

/** Counts of one tank or batch. */
export interface SurvivalQuestion {
  readonly counts: readonly AliveCount[];
  /** Larvae or eggs stocked, to check every count against. */
  readonly stocked?: number;
  /** Part of all uncertainties that is the same and cancels. */
  readonly sharedRelativeStandardUncertainty?: number;
  readonly level?: Level;
}

/** What came through from one count to the next, and what is missing. */
export interface SurvivalInterval {
  readonly fromDay: number;
  readonly toDay: number;
  readonly survival: Limits;
  readonly survivalPerDay: Limits;
  /** Expected less alive: before + put in - taken out - alive. Within limits that hold 0: no measurable loss. */
  readonly unexplained: Limits;
  readonly noMeasurableLoss: boolean;
}

/** Survival from count to count and over all. */
export interface SurvivalPlan extends Plan {
  readonly intervals: readonly SurvivalInterval[];
  /** Day of each count with the part of the first that came through so far, removals allowed for. */
  readonly course: readonly { readonly day: number; readonly alive: Limits; readonly ofFirst: Limits }[];
  readonly overall: {
    readonly survival: Limits;
    readonly survivalPerDay: number;
    readonly mortalityPerDay: number | null;
  };
  /** Usual survival from D-larva to metamorphosis. */
  readonly usual: { readonly low: number; readonly high: number };
}

interface Judged {
  readonly found: SurvivalInterval;
  readonly warnings: readonly Warning[];
}

/** The larvae that could be there at the next count: those before and those put in. */
const startOf = ({ alive }: AliveCount, putIn: number): Amount =>
  putIn === 0 ? alive : { ...sumLimits([alive, exactly(putIn)]) };

const methodOf = ({ method }: AliveCount): { readonly method?: string } => (method === undefined ? {} : { method });

/** When none were there or none came through there is no ratio to take a logarithm of. */
function withNone(
  start: Amount,
  survived: Limits,
  days: number,
): Pick<SurvivalInterval, 'survival' | 'survivalPerDay'> {
  const found = start.estimate === 0 ? { estimate: 0, low: 0, high: 1 } : ratioLimits(survived, start);
  return { survival: found, survivalPerDay: { ...found, high: found.high ** (1 / days) } };
}

/** The question with what was put in up to a count added to what was stocked. */
function withPutIn(question: SurvivalQuestion, upTo: number): SurvivalQuestion {
  const { stocked, counts } = question;
  if (stocked === undefined) return question;
  return { ...question, stocked: counts.slice(1, upTo + 1).reduce((sum, { putIn = 0 }) => sum + putIn, stocked) };
}

function interval(before: AliveCount, after: AliveCount, question: SurvivalQuestion): Judged {
  const { level = 0.95, stocked, sharedRelativeStandardUncertainty: shared } = question;
  const { takenOut = 0, putIn = 0 } = after;
  const days = after.day - before.day;
  const start = startOf(before, putIn);
  const unexplained = differenceLimits(sumLimits([start, exactly(-takenOut)]), after.alive);
  const noMeasurableLoss = unexplained.low <= 0 && unexplained.high >= 0;
  const dates = { fromDay: before.day, toDay: after.day, unexplained, noMeasurableLoss };
  const survived = sumLimits([after.alive, exactly(takenOut)]);
  if (survived.estimate === 0 || start.estimate === 0) {
    return { found: { ...dates, ...withNone(start, survived, days) }, warnings: [] };
  }
  const answer = estimateSurvival({
    first: { ...datedTotal(start, level), ...methodOf(before) },
    second: { ...datedTotal(after.alive, level), ...methodOf(after) },
    days,
    removed: takenOut,
    level,
    ...(stocked === undefined ? {} : { stocked }),
    ...(shared === undefined ? {} : { sharedRelativeStandardUncertainty: shared }),
  });
  return {
    found: { ...dates, survival: answer.survival, survivalPerDay: answer.survivalPerDay },
    warnings: answer.warnings.map((one) =>
      warningOf(one, {
        sentences: RULE_SUBJECTS,
        as: 'between-days',
        values: { from: before.day, to: after.day },
      }),
    ),
  };
}

function check({ counts }: SurvivalQuestion): void {
  if (counts.length < 2) throw badArgument('counts', 'a list of two or more', counts.length);
  for (const [i, count] of counts.entries()) {
    checkAmount(`counts[${i}].alive`, count.alive);
    const before = counts[i - 1];
    if (before !== undefined && !(count.day > before.day)) {
      throw badArgument(`counts[${i}].day`, `later than the ${before.day} of the count before`, count.day);
    }
  }
  if (counts[0]?.alive.estimate === 0) throw badArgument('counts[0].alive', 'a number above 0', 0);
}

/**
 * Part of the first count that came through to the last: their ratio, or with larvae moved in between the product of the
 * intervals. Its limits are those of the first and the last count; the counts between cancel but for what was moved.
 */
function cameThrough(counts: readonly AliveCount[], intervals: readonly { readonly survival: Limits }[]): Limits {
  const [first, last] = [counts[0]?.alive, counts.at(-1)?.alive];
  if (first === undefined || last === undefined || counts.length === 1) return exactly(1);
  const ratio = ratioLimits(last, first);
  const product = intervals.slice(0, counts.length - 1).reduce((all, one) => all * one.survival.estimate, 1);
  return ratio.estimate > 0 ? times(ratio, product / ratio.estimate) : { ...ratio, estimate: product };
}

/** Day from which animals are larvae; embryos are lost faster, and losses are not judged. */
const FIRST_LARVAE = 1;

const heavy = (perDay: Limits, least: number): Warning | false =>
  perDay.high < least && ruleWarning('heavy-loss', { high: 100 * perDay.high, usual: 100 * least });

const courseOf = (
  counts: readonly AliveCount[],
  intervals: readonly { readonly survival: Limits }[],
): SurvivalPlan['course'] =>
  counts.map(({ day, alive }, i) => ({ day, alive, ofFirst: cameThrough(counts.slice(0, i + 1), intervals) }));

/** Losses are judged from the day on which animals are larvae. */
const judgedFrom = ([first]: readonly AliveCount[]): boolean => first !== undefined && first.day >= FIRST_LARVAE;

/**
 * Survival and balance from count to count: S = (alive + taken out)/(alive before + put in), put in being taken as there
 * from the count before; over all the product of S, Z = -ln S/days. Rises beyond the uncertainty of both counts are flagged
 * `survival-above-1`, counts above what was stocked `more-than-stocked`; nothing is cut. Losses beyond the usual are told
 * from day 1 on, as embryos are lost faster.
 *
 * @param book for `survival.d-to-set.low`, `.high` and `survival.least-days`
 * @throws VeligridError `bad-argument` for fewer than two counts, or days that do not rise
 */
export function survival(question: SurvivalQuestion, book: FigureBook): SurvivalPlan {
  check(question);
  const { counts } = question;
  const names = ['survival.d-to-set.low', 'survival.d-to-set.high', 'survival.least-days'];
  const figures = names.map((name) => figure(book, name));
  const [low = 0, high = 0, leastDays = 1] = figures.map(numberOf);
  const answers = counts.slice(1).map((after, i) => interval(counts[i] ?? after, after, withPutIn(question, i + 1)));
  const intervals = answers.map(({ found }) => found);
  const over = cameThrough(counts, intervals);
  const days = (counts.at(-1)?.day ?? 0) - (counts[0]?.day ?? 0);
  const perDay = over.estimate ** (1 / days);
  const usualPerDay = low ** (1 / leastDays);
  const losses = judgedFrom(counts) && heavy({ ...over, estimate: perDay, high: over.high ** (1 / days) }, usualPerDay);
  return {
    intervals,
    course: courseOf(counts, intervals),
    overall: { survival: over, survivalPerDay: perDay, mortalityPerDay: perDay > 0 ? -Math.log(perDay) : null },
    usual: { low, high },
    figures,
    warnings: raised([...answers.flatMap(({ warnings }) => warnings), losses]),
    cautions: [caution('fixed-samples'), ...(losses === false ? [] : [caution('drugs-for-food-fish')])],
  };
}
