import { sum } from './moments.js';
import { chiSquareUpper } from './special-functions.js';

/** Chi-square test that slides have one share (Pearson), with slides - 1 degrees of freedom; p of 1 at share 0 or 1. */
export function dispersionOfShares(slides: readonly { readonly positive: number; readonly of: number }[]): {
  readonly x2: number;
  readonly df: number;
  readonly p: number;
} {
  const p = sum(slides.map(({ positive }) => positive)) / sum(slides.map(({ of }) => of));
  const df = slides.length - 1;
  if (p === 0 || p === 1) return { x2: 0, df, p: 1 };
  const x2 = sum(slides.map(({ positive, of }) => (positive - p * of) ** 2 / (of * p * (1 - p))));
  return { x2, df, p: chiSquareUpper(x2, df) };
}
