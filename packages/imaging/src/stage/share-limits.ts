import { badArgument } from '@veligrid/model';

/** A share with its limits. */
export interface ShareLimits {
  readonly share: number;
  readonly low: number;
  readonly high: number;
  /** How much less the larvae tell than as many independent ones, 1 or more. */
  readonly designEffect: number;
}

/** Larvae of one slide: how many are looked at, how many are so. */
export interface SlideShare {
  readonly whole: number;
  readonly part: number;
}

/** 97.5 % point of the normal distribution. */
const Z = 1.959964;
/** 97.5 % points of Student's t for 1 to 30 degrees of freedom (common table; from memory). */
const T = [
  12.7062, 4.3027, 3.1824, 2.7764, 2.5706, 2.4469, 2.3646, 2.306, 2.2622, 2.2281, 2.201, 2.1788, 2.1604, 2.1448, 2.1314,
  2.1199, 2.1098, 2.1009, 2.093, 2.086, 2.0796, 2.0739, 2.0687, 2.0639, 2.0595, 2.0555, 2.0518, 2.0484, 2.0452, 2.0423,
];

/**
 * Wilson's limits of a share (E. B. Wilson 1927, J. American Statistical Association 22:209-212; from memory).
 *
 * @param part 0..whole, need not be whole numbers
 * @param whole above 0
 * @param z quantile; default for 95 %
 */
export function wilson(part: number, whole: number, z: number = Z): { readonly low: number; readonly high: number } {
  if (!(whole > 0) || !(part >= 0 && part <= whole)) throw badArgument('part', 'a number from 0 to whole', part);
  const middle = (part + (z * z) / 2) / (whole + z * z);
  const half = (z / (whole + z * z)) * Math.sqrt((part * (whole - part)) / whole + (z * z) / 4);
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}

/**
 * Share over slides with 95 % limits. Larvae of one slide are alike, so over two slides or more the design effect (variance
 * between slides over that of independent larvae, never below 1) shrinks the number that counts, and Student's t replaces the
 * normal.
 *
 * @param slides those without larvae are left out
 * @returns null when there is no larva at all
 */
export function shareLimits(slides: readonly SlideShare[]): ShareLimits | null {
  const used = slides.filter(({ whole }) => whole > 0);
  const whole = used.reduce((sum, one) => sum + one.whole, 0);
  const part = used.reduce((sum, one) => sum + one.part, 0);
  if (whole === 0) return null;
  const share = part / whole;
  const m = used.length;
  if (m === 1) return { share, ...wilson(part, whole), designEffect: 1 };
  const square = used.reduce((sum, one) => sum + (one.part - share * one.whole) ** 2, 0);
  const variance = ((m / (m - 1)) * square) / (whole * whole);
  const independent = (share * (1 - share)) / whole;
  const designEffect = independent > 0 ? Math.max(1, variance / independent) : 1;
  const effective = whole / designEffect;
  return { share, ...wilson(share * effective, effective, T[m - 2] ?? Z), designEffect };
}
