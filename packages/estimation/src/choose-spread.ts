import { combine, type Contribution } from './budget.js';
import {
  historyDegrees,
  historyDoubt,
  historySpread,
  ownSpread,
  singleSpread,
  type Pooled,
} from './between-subsamples.js';
import { LEAST_OWN_DEGREES, STARTING_HISTORY, type History } from './history.js';
import { twoSided, type Level } from './limits.js';

/** Which earlier counts may help: none, the published starting CV, or the hatchery's own. */
export type HistoryChoice = 'none' | 'starting' | History;

/** How the limits were found. */
export type CountMethod =
  /** Nothing counted: from 0 to the exact upper limit of counting error alone. */
  | 'counting-error-only'
  /** One subsample and no history: nothing is known of the mixing, so Student's t with 1 degree of freedom. */
  | 'single-without-history'
  /** Scatter of this sample, log scale, Student's t, never below counting error. */
  | 'log-t-with-poisson-floor'
  /** Counting error and the hatchery's own earlier scatter, log scale. */
  | 'own-history'
  /** Counting error and the published starting scatter, log scale. */
  | 'starting-history';

/** The chosen spread. */
export interface Chosen {
  readonly method: CountMethod;
  readonly h: number;
  readonly relativeStandardUncertainty: number;
  readonly degreesOfFreedom: number;
  readonly contributions: readonly Contribution[];
  /** F test of this sample's scatter against history; 1 without history or with one subsample. */
  readonly historyDoubt: number;
}

/** Below the first, history is not used; between the two the limits go over to this sample's own without a jump. */
export const HISTORY_REFUSED = 0.01;
export const HISTORY_IN_DOUBT = 0.1;

function usable(
  choice: HistoryChoice,
  subsamples: number,
): (History & { readonly source: 'history' | 'starting' }) | null {
  if (choice === 'none') return null;
  if (choice !== 'starting' && choice.degreesOfFreedom >= LEAST_OWN_DEGREES) return { ...choice, source: 'history' };
  return subsamples <= 2 ? { ...STARTING_HISTORY, source: 'starting' } : null;
}

/** One subsample has no scatter to go by, so nothing is known of the mixing. */
function bySingle(pooled: Pooled, others: readonly Contribution[], level: Level): Chosen {
  const { h, contributions } = singleSpread(pooled, others, level);
  return { method: 'single-without-history', h, ...combine(contributions), contributions, historyDoubt: 1 };
}

function byOwn(pooled: Pooled, others: readonly Contribution[], level: Level, doubt = 1): Chosen {
  const { h, contributions } = ownSpread(pooled, others, level);
  const { degreesOfFreedom } = combine(contributions);
  return {
    method: 'log-t-with-poisson-floor',
    ...withAllowance(contributions, degreesOfFreedom, h, level),
    historyDoubt: doubt,
  };
}

/** Limits that this sample would have with a further subsample just at its mean: never narrower than those. */
function withOneMore({ counted, subsamples, dispersion, shareSquares }: Pooled): Pooled {
  // One subsample first becomes two equal ones.
  const n = Math.max(2, subsamples) + 1;
  return { counted: (counted * n) / subsamples, subsamples: n, dispersion: { ...dispersion, df: n - 1 }, shareSquares };
}

/** How far to go from history's limits to the sample's own: 0 at p of 0.1 and more, 1 at 0.01. */
const stretch = (p: number): number =>
  Math.min(1, Math.max(0, Math.log(HISTORY_IN_DOUBT / p) / Math.log(HISTORY_IN_DOUBT / HISTORY_REFUSED)));

/** An allowance as a source of its own, so that the sources still add up to the limits. */
function withAllowance(
  contributions: readonly Contribution[],
  degreesOfFreedom: number,
  h: number,
  level: Level,
): Omit<Chosen, 'method' | 'historyDoubt'> {
  const u = combine(contributions).relativeStandardUncertainty;
  const wide = h / twoSided(level, degreesOfFreedom);
  if (wide <= u * (1 + 1e-12)) return { h, relativeStandardUncertainty: u, degreesOfFreedom, contributions };
  const allowance: Contribution = {
    name: 'allowance for few subsamples or doubtful history',
    relativeStandardUncertainty: Math.sqrt(wide ** 2 - u ** 2),
    degreesOfFreedom: null,
    source: 'sample',
  };
  return { h, relativeStandardUncertainty: wide, degreesOfFreedom, contributions: [...contributions, allowance] };
}

/**
 * Chooses how the limits are found. Own scatter is never tested first and then dropped: such pre-tests were measured to
 * cover as little as 86 % of the time.
 *
 * @param pooled the subsamples, with at least one animal counted
 * @param others sources that all subsamples share
 */
export function chooseSpread(
  pooled: Pooled,
  choice: HistoryChoice,
  others: readonly Contribution[],
  level: Level,
): Chosen {
  const { subsamples } = pooled;
  const history = usable(choice, subsamples);
  if (history === null) return subsamples === 1 ? bySingle(pooled, others, level) : byOwn(pooled, others, level);
  const doubt = historyDoubt(pooled, history);
  if (doubt < HISTORY_REFUSED) return byOwn(pooled, others, level, doubt);
  const spread = historySpread(pooled, history, others, level);
  const own = doubt < HISTORY_IN_DOUBT ? ownSpread(pooled, others, level).h : 0;
  const stretched = Math.max(spread.h, spread.h + stretch(doubt) * (own - spread.h));
  const starting = history.source === 'starting';
  const h = starting ? Math.max(stretched, ownSpread(withOneMore(pooled), others, level).h) : stretched;
  return {
    method: starting ? 'starting-history' : 'own-history',
    ...withAllowance(spread.contributions, historyDegrees(spread.contributions, others), h, level),
    historyDoubt: doubt,
  };
}
