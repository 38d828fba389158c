import { combine, type Contribution } from './budget.js';
import type { Dispersion } from './dispersion.js';
import type { History } from './history.js';
import { twoSided, type Level } from './limits.js';
import { fUpper } from './special-functions.js';

/** What the subsamples of one container say together. */
export interface Pooled {
  /** All animals counted, above 0. */
  readonly counted: number;
  readonly subsamples: number;
  /** Sum of squared shares of the whole counted volume: 1/n for n equal volumes. */
  readonly shareSquares: number;
  readonly dispersion: Dispersion;
}

/** Half-width of the limits on a log scale with what it was made of. */
export interface Spread {
  readonly h: number;
  readonly contributions: readonly Contribution[];
}

/** Half-width for sources of uncertainty, on a log scale. */
const halfWidth = (contributions: readonly Contribution[], level: Level): number => {
  const { relativeStandardUncertainty, degreesOfFreedom } = combine(contributions);
  return relativeStandardUncertainty === 0 ? 0 : twoSided(level, degreesOfFreedom) * relativeStandardUncertainty;
};

/** Counting error alone as a source. */
const countingError = (counted: number): Contribution => ({
  name: 'counting error',
  relativeStandardUncertainty: Math.sqrt(1 / counted),
  degreesOfFreedom: null,
  source: 'sample',
});

/**
 * Limits from this sample's own scatter. Variance over mean phi = X2/(n-1) has n-1 degrees of freedom, u^2 = phi / all
 * counted. Where phi is below that of counting error, the rest up to 1 is counting error itself (the Poisson floor): it
 * is known, so its degrees are unlimited, and those of both together follow Welch and Satterthwaite. Never narrower than
 * Student's t by the scatter alone. Two or more subsamples.
 */
export function ownSpread(
  { counted, subsamples, dispersion }: Pooled,
  others: readonly Contribution[],
  level: Level,
): Spread {
  const phi = dispersion.x2 / (subsamples - 1);
  const scatter: Contribution = {
    name: 'counting and mixing, from the scatter of the subsamples',
    relativeStandardUncertainty: Math.sqrt(phi / counted),
    degreesOfFreedom: subsamples - 1,
    source: 'sample',
  };
  const byScatter = [scatter, ...others];
  if (phi >= 1) return { h: halfWidth(byScatter, level), contributions: byScatter };
  const floor: Contribution = {
    name: 'counting error that the scatter does not show',
    relativeStandardUncertainty: Math.sqrt((1 - phi) / counted),
    degreesOfFreedom: null,
    source: 'sample',
  };
  const contributions = [scatter, floor, ...others];
  return { h: Math.max(halfWidth(contributions, level), halfWidth(byScatter, level)), contributions };
}

/** Limits of one subsample without history: counting error, with the 1 degree of freedom that two would have. */
export function singleSpread({ counted }: Pooled, others: readonly Contribution[], level: Level): Spread {
  const contributions = [{ ...countingError(counted), degreesOfFreedom: 1 }, ...others];
  return { h: halfWidth(contributions, level), contributions };
}

/** Limits from counting error and the scatter of earlier counts: u^2 = 1/counted + cv^2/n. */
export function historySpread(
  { counted, shareSquares }: Pooled,
  history: History & { readonly source: 'history' | 'starting' },
  others: readonly Contribution[],
  level: Level,
): Spread {
  const between: Contribution = {
    name: history.source === 'history' ? 'mixing, from own history' : 'mixing, from the starting CV',
    relativeStandardUncertainty: history.cv * Math.sqrt(shareSquares),
    degreesOfFreedom: history.degreesOfFreedom,
    source: history.source,
  };
  const contributions = [countingError(counted), between, ...others];
  return { h: historyHalfWidth(contributions, others, level), contributions };
}

/** As for any budget, but counting error and history by themselves keep their degrees of freedom uncut. */
function historyHalfWidth(all: readonly Contribution[], others: readonly Contribution[], level: Level): number {
  const { relativeStandardUncertainty: u } = combine(all);
  return twoSided(level, historyDegrees(all, others)) * u;
}

/** Effective degrees of freedom of counting error with history, and with whatever else there is. */
export function historyDegrees(all: readonly Contribution[], others: readonly Contribution[]): number {
  const [counting, between] = all;
  const counted2 = (counting?.relativeStandardUncertainty ?? 0) ** 2;
  const between2 = (between?.relativeStandardUncertainty ?? 0) ** 2;
  if (between2 === 0) return Infinity;
  const degrees = between?.degreesOfFreedom ?? Infinity;
  const uncut = degrees * ((counted2 + between2) / between2) ** 2;
  const systematic = others.some(({ relativeStandardUncertainty }) => relativeStandardUncertainty > 0);
  return systematic ? Math.max(Math.floor(combine(all).degreesOfFreedom), uncut) : uncut;
}

/**
 * Chance of scatter like this sample's or more if history were right: F test of X2/(n-1) against what history expects
 * of these volumes, 1 + cv^2 rate (V - sum v^2/V)/(n-1). One subsample has no scatter: 1.
 */
export function historyDoubt({ counted, subsamples, shareSquares, dispersion }: Pooled, history: History): number {
  if (subsamples < 2) return 1;
  const extra = (history.cv ** 2 * counted * (1 - shareSquares)) / (subsamples - 1);
  const f = dispersion.x2 / (subsamples - 1) / (1 + extra);
  const df = extra === 0 ? Infinity : history.degreesOfFreedom * ((1 + extra) / extra) ** 2;
  return fUpper(f, subsamples - 1, df);
}
