import type { Warning } from '@veligrid/model';
import type { Chosen } from './choose-spread.js';
import { dispersionOf, type Dispersion } from './dispersion.js';
import type { CountInput } from './count-input.js';
import type { Filling } from './fillings.js';
import { LEAST_OWN_DEGREES } from './history.js';
import { WIDEST, type Limits } from './limits.js';
import { sum } from './moments.js';
import { warningsIf } from './warnings.js';

/** What the warnings of a count are judged by. */
interface Judged {
  readonly input: CountInput;
  readonly fillings: readonly Filling[];
  readonly dispersion: Dispersion;
  readonly chosen: Chosen | null;
  readonly total: Limits;
}

/** Chance below which scatter is called unusual. */
const UNUSUAL = 0.01;
/** Fewer animals than this leave the normal form invalid (EN 15204:2006 annex F asks for more than 30). */
const FEW = 30;

/**
 * Whether giving one filling the volume of another would take away more than half of the scatter: the mark of a
 * replicate that was scaled with another's volume.
 */
function volumeMixedUp(fillings: readonly Filling[], { x2, pUpper }: Dispersion): boolean {
  if (pUpper >= UNUSUAL) return false;
  const volumes = fillings.map(({ volumeMl }) => volumeMl);
  const counts = fillings.map(({ count }) => count);
  const others = [...new Set(volumes)];
  return fillings.some((_, i) => others.some((volume) => dispersionOf(counts, volumes.with(i, volume)).x2 < x2 / 2));
}

const shortHistory = ({ history }: CountInput): boolean =>
  typeof history === 'object' && history.degreesOfFreedom < LEAST_OWN_DEGREES;

/** The warnings of a count, in the order in which to look at them. */
export function countWarnings({ input, fillings, dispersion, chosen, total }: Judged): Warning[] {
  const counted = sum(fillings.map(({ count }) => count));
  return warningsIf([
    ['yield-over-100', input.eggs !== undefined && total.estimate > input.eggs],
    ['more-than-stocked', input.stocked !== undefined && total.estimate > input.stocked],
    ['replicate-volume', volumeMixedUp(fillings, dispersion)],
    ['heterogeneous', dispersion.pUpper < UNUSUAL],
    ['too-even', fillings.length > 2 && dispersion.pLower < UNUSUAL],
    ['few-counted', counted < FEW],
    ['one-filling', fillings.length === 1],
    ['nothing-counted', chosen === null],
    ['no-history', chosen?.method === 'single-without-history'],
    ['starting-cv', chosen?.method === 'starting-history'],
    ['short-history', shortHistory(input)],
    ['history-not-used', chosen?.history === 'refused'],
    ['history-in-doubt', chosen?.history === 'in-doubt'],
    ['fields-not-random', input.placement === 'chosen'],
    ['no-useful-limit', (chosen?.h ?? 0) > WIDEST],
  ]);
}
