import { chiSquareUpper, gammaLower } from './special-functions.js';
import { sum } from './moments.js';

/** How the scatter of subsamples compares with a perfectly mixed sample. A help for judging, never a switch. */
export interface Dispersion {
  /** Sum of (count - expected)^2 / expected: about `df` for a perfectly mixed sample. */
  readonly x2: number;
  /** Subsamples less one. */
  readonly df: number;
  /** Chance of as much scatter or more in a perfectly mixed sample: small means clumped. */
  readonly pUpper: number;
  /** Chance of as little scatter or less: small means too even, for example one image counted twice. */
  readonly pLower: number;
}

/**
 * Index of dispersion X2 (Fisher 1925; Elliott 1977), for unequal volumes as well.
 *
 * @param counts number counted in each subsample
 * @param volumes volume of each, in one unit, above 0
 * @returns p of 1 on both sides for one subsample, or when nothing was counted
 */
export function dispersionOf(counts: readonly number[], volumes: readonly number[]): Dispersion {
  const df = counts.length - 1;
  const rate = sum(counts) / sum(volumes);
  if (df === 0 || rate === 0) return { x2: 0, df, pUpper: 1, pLower: 1 };
  const x2 = sum(counts.map((count, i) => (count - rate * (volumes[i] ?? 0)) ** 2 / (rate * (volumes[i] ?? 0))));
  return { x2, df, pUpper: chiSquareUpper(x2, df), pLower: gammaLower(df / 2, x2 / 2) };
}

/** The large-sample form sqrt(2 X2) - sqrt(2 df - 1); beyond 1.96 either way is unusual (Elliott 1977). */
export const dispersionDeviate = ({ x2, df }: Dispersion): number => Math.sqrt(2 * x2) - Math.sqrt(2 * df - 1);
