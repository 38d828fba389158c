import { handTally, type CountInput, type Subsample } from '@veligrid/estimation';
import type { Limits } from '../../packages/estimation/src/limits.js';

/** Subsamples of one volume, or each of its own. */
export function subsamplesOf(counts: readonly number[], volumeMl: number | readonly number[] = 1): Subsample[] {
  return counts.map((count, i) => ({
    count: handTally(count),
    volumeMl: typeof volumeMl === 'number' ? volumeMl : volumeMl[i],
  }));
}

/** A count whose volumes are stated as exact, without history. */
export function exact(subsamples: readonly Subsample[], containerMl = 1): CountInput {
  return {
    container: { volumeMl: containerMl, relativeStandardUncertainty: 0 },
    volumeRelativeStandardUncertainty: 0,
    history: 'none',
    subsamples,
  };
}

/** Limits as a list, rounded to the digits that a source prints. */
export const printed = ({ low, high }: Limits, digits: number): number[] =>
  [low, high].map((value) => Number(value.toFixed(digits)));

/** How far a value is from a printed one in units of the last printed digit; sources may cut instead of round. */
export const lastDigits = (value: number | undefined, source: number, digits: number): number =>
  Math.abs((value ?? Number.NaN) - source) * 10 ** digits;
