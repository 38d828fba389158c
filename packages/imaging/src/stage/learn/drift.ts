import { binomialUpperTail } from './binomial.js';

/** Corrections on one slide or day. */
export interface CorrectionCount {
  /** Larvae looked at, 1 or more. */
  readonly checked: number;
  /** Of these, changed by staff. */
  readonly corrected: number;
}

/** What the watch says of the latest entry. */
export interface DriftAnswer {
  /** Share corrected in the history before the latest entry, 0..1. */
  readonly usualShare: number;
  /** Probability of as many corrections or more, if nothing had changed. */
  readonly tail: number;
  /** Sum of what went beyond the usual, in standard deviations. */
  readonly cusum: number;
  readonly alarm: 'none' | 'sudden' | 'creeping';
  /** One sentence for staff. */
  readonly message: string;
}

/** Chance below which one entry is called sudden: about three standard deviations. */
const SUDDEN = 0.00135;
/** Slack and alarm of the sum: finds a shift of one standard deviation in some 10 entries, a false alarm in some 930. */
const SLACK = 0.5;
const ALARM = 5;
/** Larvae of history needed before anything is said. */
const FEWEST = 100;
/** A share of 0 would make every correction an alarm. */
const LEAST_SHARE = 0.005;

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/**
 * Watches the share of larvae that staff correct: the latest entry against the history before it (exact binomial tail), and
 * a running sum of small excesses (CUSUM: E. S. Page 1954, "Continuous inspection schemes", Biometrika 41:100-115; from
 * memory). More corrections mean that the rules no longer fit: another light, another microscope, another stock.
 *
 * @param history entries in order of time, the latest last; those before it are the history
 * @returns null with fewer than 100 larvae of history
 */
export function driftWatch(history: readonly CorrectionCount[]): DriftAnswer | null {
  const latest = history.at(-1);
  const before = history.slice(0, -1);
  const checked = before.reduce((sum, one) => sum + one.checked, 0);
  if (latest === undefined || checked < FEWEST) return null;
  const corrected = before.reduce((sum, one) => sum + one.corrected, 0);
  const usualShare = Math.max(LEAST_SHARE, corrected / checked);
  const tail = binomialUpperTail(latest.corrected, latest.checked, usualShare);
  let cusum = 0;
  for (const one of history) {
    const deviation = Math.sqrt(one.checked * usualShare * (1 - usualShare));
    cusum = Math.max(0, cusum + (one.corrected - one.checked * usualShare) / deviation - SLACK);
  }
  const alarm = tail < SUDDEN ? 'sudden' : cusum > ALARM ? 'creeping' : 'none';
  const now = `${String(latest.corrected)} of ${String(latest.checked)} corrected (${percent(latest.corrected / latest.checked)}), usually ${percent(usualShare)}`;
  const messages = {
    none: `Nothing unusual: ${now}.`,
    sudden: `Far more corrections than usual: ${now}. Look at light, focus, scale and sample before trusting the stages.`,
    creeping: `More and more corrections over the last slides: ${now}. Check an audit of random larvae and learn new rules.`,
  } as const;
  return { usualShare, tail, cusum, alarm, message: messages[alarm] };
}
