import { badArgument } from '@veligrid/model';

/**
 * Adds the tolerance of the ruling itself to the uncertainty of a scale: its length over the lines seen may be off by any amount up to
 * the tolerance (rectangular distribution, JCGM 100:2008 4.3.7).
 *
 * @param relative standard uncertainty of the fit over the scale
 * @param toleranceUm half width of the tolerance, micrometres, 0 and up
 * @param spanUm length from the first line to the last, micrometres
 */
export function withRulingTolerance(relative: number, toleranceUm: number, spanUm: number): number {
  if (!(toleranceUm >= 0 && toleranceUm < Infinity)) {
    throw badArgument('toleranceUm', 'a number of micrometres, 0 or more', toleranceUm);
  }
  return Math.hypot(relative, toleranceUm / Math.sqrt(3) / spanUm);
}
