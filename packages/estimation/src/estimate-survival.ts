import { badArgument, type Warning } from '@veligrid/model';
import { combine, type Contribution } from './budget.js';
import { fieller } from './fieller.js';
import { checkLevel, logLimits, twoSided, type Level, type Limits } from './limits.js';
import { warningsIf } from './warnings.js';

/** A total of one date. */
export interface DatedTotal {
  /** Live animals, above 0 on the first date. */
  readonly total: number;
  readonly relativeStandardUncertainty: number;
  /** Behind the uncertainty; unlimited by default. */
  readonly degreesOfFreedom?: number;
  /** Method and rules of the count, or the person's name for a tally by hand; told apart by their text. */
  readonly method?: string;
}

/** What is compared. */
export interface SurvivalInput {
  readonly first: DatedTotal;
  readonly second: DatedTotal;
  /** Days between, above 0. */
  readonly days: number;
  /** Part of both uncertainties that is the same and cancels: one tank mark, one cell, one pipette. 0 by default. */
  readonly sharedRelativeStandardUncertainty?: number;
  /** Live animals taken out between the dates (samples, culls); they are added back to the second. */
  readonly removed?: number;
  /** Animals stocked at or before the first date, to check both against. */
  readonly stocked?: number;
  readonly level?: Level;
}

/** What came through from one date to the next. */
export interface SurvivalEstimate {
  /** Second over first; above 1 is shown as it is, and limits are never cut. */
  readonly survival: Limits;
  /** Of the ratio's logarithm. */
  readonly relativeStandardUncertainty: number;
  readonly survivalPerDay: Limits;
  /** Z = -ln S / days. */
  readonly mortalityPerDay: Limits;
  /** Limits by ratio, with g; `limits` null when there are none. */
  readonly fieller: { readonly g: number; readonly limits: { readonly low: number; readonly high: number } | null };
  readonly warnings: readonly Warning[];
}

/** Where both ways of finding the limits begin to differ. */
const WIDE_DENOMINATOR = 0.05;

function check({
  first,
  second,
  days,
  removed = 0,
  stocked = Infinity,
  sharedRelativeStandardUncertainty: shared = 0,
}: SurvivalInput): void {
  if (!(stocked > 0)) throw badArgument('stocked', 'a number above 0', stocked);
  if (!(first.total > 0)) throw badArgument('first.total', 'a number above 0', first.total);
  if (!(second.total + removed > 0))
    throw badArgument('second.total', 'a number above 0, or with animals removed', second.total);
  if (!(days > 0)) throw badArgument('days', 'a number above 0', days);
  const least = Math.min(first.relativeStandardUncertainty, second.relativeStandardUncertainty);
  if (!(shared >= 0 && shared <= least)) {
    throw badArgument('sharedRelativeStandardUncertainty', `a number from 0 to the smaller of both, ${least}`, shared);
  }
}

/** Both dates as sources of uncertainty, what they share taken out of each. */
function sources(input: SurvivalInput): Contribution[] {
  const shared = input.sharedRelativeStandardUncertainty ?? 0;
  return [input.first, input.second].map(({ relativeStandardUncertainty: u, degreesOfFreedom }, i) => ({
    name: i === 0 ? 'first count' : 'second count',
    relativeStandardUncertainty: Math.sqrt(Math.max(0, u * u - shared * shared)),
    degreesOfFreedom: degreesOfFreedom ?? null,
    source: 'stated',
  }));
}

/**
 * Survival between two dates with limits on a log scale: u^2(ln S) = u1^2 + u2^2 - 2 u_shared^2. Assumes the tank was well
 * mixed at both dates and counted the same way; animals moved in are not allowed for.
 *
 * @throws VeligridError `bad-argument` for totals, days or uncertainties out of range
 */
export function estimateSurvival(input: SurvivalInput): SurvivalEstimate {
  check(input);
  const { first, second, days, removed = 0, stocked = Infinity, level = 0.95 } = input;
  checkLevel(level);
  const parts = sources(input);
  const { relativeStandardUncertainty: u, degreesOfFreedom } = combine(parts);
  const t = twoSided(level, degreesOfFreedom);
  const after = second.total + removed;
  const survival = logLimits(after / first.total, t * u);
  const z = { estimate: -Math.log(survival.estimate), low: -Math.log(survival.high), high: -Math.log(survival.low) };
  const [u1 = 0, u2 = 0] = parts.map((part) => part.relativeStandardUncertainty);
  const byRatio = fieller(
    {
      numerator: after,
      denominator: first.total,
      numeratorVariance: (u2 * after) ** 2,
      denominatorVariance: (u1 * first.total) ** 2,
    },
    t,
  );
  const perDay = (value: number): number => value ** (1 / days);
  return {
    survival,
    relativeStandardUncertainty: u,
    survivalPerDay: { estimate: perDay(survival.estimate), low: perDay(survival.low), high: perDay(survival.high) },
    mortalityPerDay: { estimate: z.estimate / days, low: z.low / days, high: z.high / days },
    fieller: byRatio,
    warnings: warningsIf([
      ['more-than-stocked', Math.max(first.total, after) > stocked],
      ['survival-above-1', survival.low > 1],
      ['no-measurable-loss', survival.estimate >= 1 && survival.low <= 1],
      ['method-differs', first.method !== second.method],
      ['unbounded-ratio', byRatio.g >= 1],
      ['wide-denominator', byRatio.g >= WIDE_DENOMINATOR && byRatio.g < 1],
    ]),
  };
}
