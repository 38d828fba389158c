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
  /** What this sample's scatter says of history: nothing against it, so much that limits were widened, or too much. */
  readonly history: 'fits' | 'in-doubt' | 'refused';
}

/** Below this chance of the F test history is not used. */
const HISTORY_REFUSED = 0.01;
/** Far beyond what a sample that passes the test can need. */
const MOST_COPIES = 1000;

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
  return { method: 'single-without-history', h, ...combine(contributions), contributions, history: 'fits' };
}

function byOwn(
  pooled: Pooled,
  others: readonly Contribution[],
  level: Level,
  history: Chosen['history'] = 'fits',
): Chosen {
  const { h, contributions } = ownSpread(pooled, others, level);
  const { degreesOfFreedom } = combine(contributions);
  return {
    method: 'log-t-with-poisson-floor',
    ...withAllowance(contributions, degreesOfFreedom, h, level),
    history,
  };
}

/** Limits that this sample would have with a further subsample just at its mean: never narrower than those. */
function withOneMore({ counted, subsamples, dispersion, shareSquares }: Pooled): Pooled {
  // One subsample first becomes two equal ones.
  const n = Math.max(2, subsamples) + 1;
  return { counted: (counted * n) / subsamples, subsamples: n, dispersion: { ...dispersion, df: n - 1 }, shareSquares };
}

/** The sample as if every subsample had been counted so many times over. */
function timesOver({ counted, subsamples, shareSquares, dispersion }: Pooled, copies: number): Pooled {
  const n = subsamples * copies;
  const scatter = { ...dispersion, x2: dispersion.x2 * copies, df: n - 1 };
  return { counted: counted * copies, subsamples: n, shareSquares: shareSquares / copies, dispersion: scatter };
}

/**
 * Half-width that history must not go below. The F test sees more the more is counted, so a sample that passes it just so
 * would be refused history if it were only counted over again, and its limits would then be wider: wider limits for more
 * of the same counts are no limits. The first such repetition sets the least.
 */
function leastBesideHistory(
  pooled: Pooled,
  history: History,
  { h, others, level }: { readonly h: number; readonly others: readonly Contribution[]; readonly level: Level },
): number {
  if (pooled.subsamples < 2) return h;
  for (let copies = 2; copies <= MOST_COPIES; copies += 1) {
    const repeated = timesOver(pooled, copies);
    const own = ownSpread(repeated, others, level).h;
    if (own <= h * (1 + 1e-12)) return h;
    if (historyDoubt(repeated, history) < HISTORY_REFUSED) return own;
  }
  return h;
}

/** An allowance as a source of its own, so that the sources still add up to the limits. */
function withAllowance(
  contributions: readonly Contribution[],
  degreesOfFreedom: number,
  h: number,
  level: Level,
): Omit<Chosen, 'method' | 'history'> {
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
  if (historyDoubt(pooled, history) < HISTORY_REFUSED) return byOwn(pooled, others, level, 'refused');
  const spread = historySpread(pooled, history, others, level);
  const least = leastBesideHistory(pooled, history, { h: spread.h, others, level });
  const starting = history.source === 'starting';
  const h = starting ? Math.max(least, ownSpread(withOneMore(pooled), others, level).h) : least;
  return {
    method: starting ? 'starting-history' : 'own-history',
    ...withAllowance(spread.contributions, historyDegrees(spread.contributions, others), h, level),
    history: least > spread.h ? 'in-doubt' : 'fits',
  };
}
