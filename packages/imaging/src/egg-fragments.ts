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
/** No bivalve egg is narrower, micrometres: those of oysters are 45 um and more (FAO Fisheries Technical Paper 471, chapter 4, from memory). */
const LEAST_UM = 30;

/**
 * Finds taken for eggs or embryos that are too small to be one: beside the others of the photo, or by the scale.
 *
 * @param found finds of one photo
 * @param measured the same, measured
 * @param umPerPx scale, when it can be relied on, else null
 * @returns one entry a find: true for a fragment
 */
export function eggFragments(
  found: readonly Found[],
  measured: readonly MeasuredObject[],
  umPerPx: number | null,
): boolean[] {
  const isEgg = found.map(({ kind, score }) => kind === 'egg-or-embryo' && score >= LEAST_COUNTED_SCORE);
  const whole = measured.map(({ flags }) => !flags.includes('cut'));
  const diameters = measured
    .filter((_, k) => isEgg[k] && whole[k])
    .map(({ equivalentDiameterPx }) => equivalentDiameterPx)
    .sort((a, b) => a - b);
  const byOthers = diameters.length < LEAST_EGGS ? 0 : LEAST_SHARE * diameters[diameters.length >> 1];
  const least = Math.max(byOthers, umPerPx === null ? 0 : LEAST_UM / umPerPx);
  return measured.map(({ equivalentDiameterPx }, k) => isEgg[k] && whole[k] && equivalentDiameterPx < least);
}
