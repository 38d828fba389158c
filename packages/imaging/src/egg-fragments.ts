import { LEAST_COUNTED_SCORE } from './detection.js';
import type { Found } from './found.js';
import type { MeasuredObject } from './measure/measure-object.js';

/**
 * Eggs and embryos of one spawn are of one size to within some 10 % (common practice, no source): what is less than half as
 * wide as the middle one is a piece of one, or a speck.
 */
const LEAST_SHARE = 0.5;
/** Fewer eggs say nothing of their size. */
const LEAST_EGGS = 5;

/**
 * Finds taken for eggs or embryos that are too small beside the others of the photo to be one.
 *
 * @param found finds of one photo
 * @param measured the same, measured
 * @returns one entry a find: true for a fragment
 */
export function eggFragments(found: readonly Found[], measured: readonly MeasuredObject[]): boolean[] {
  const isEgg = found.map(({ kind, score }) => kind === 'egg-or-embryo' && score >= LEAST_COUNTED_SCORE);
  const whole = measured.map(({ flags }) => !flags.includes('cut'));
  const diameters = measured
    .filter((_, k) => isEgg[k] && whole[k])
    .map(({ equivalentDiameterPx }) => equivalentDiameterPx)
    .sort((a, b) => a - b);
  if (diameters.length < LEAST_EGGS) return found.map(() => false);
  const least = LEAST_SHARE * diameters[diameters.length >> 1];
  return measured.map(({ equivalentDiameterPx }, k) => isEgg[k] && whole[k] && equivalentDiameterPx < least);
}
