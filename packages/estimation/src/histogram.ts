import { quantile } from './percentiles.js';

/** Bars of one width that together hold every value: bar i holds from start + i width up to, not including, the next. */
export interface Histogram {
  readonly startUm: number;
  readonly widthUm: number;
  readonly counts: readonly number[];
}

const STEPS = [1, 2, 5, 10];

/** The nearest larger of 1, 2 and 5 times a power of ten. */
function roundWidth(width: number): number {
  const power = 10 ** Math.floor(Math.log10(width));
  return (STEPS.find((step) => step * power >= width * (1 - 1e-12)) ?? 10) * power;
}

const MOST_BARS = 200;

/**
 * Bars by the rule of Freedman and Diaconis 1981 (2 interquartile range / n^(1/3)), the width rounded up to 1, 2 or 5
 * times a power of ten so that bars begin at plain figures. Without any spread in the middle half: a tenth of the range,
 * and a bar of 1 um when all values are alike.
 *
 * @param sorted one or more values
 */
export function histogramOf(sorted: readonly number[]): Histogram {
  const least = sorted[0] ?? 0;
  const range = (sorted.at(-1) ?? 0) - least;
  const rule = (2 * (quantile(sorted, 0.75) - quantile(sorted, 0.25))) / Math.cbrt(sorted.length);
  const widthUm = roundWidth(Math.max(rule > 0 ? rule : range / 10, range / MOST_BARS) || 1);
  const first = Math.floor(least / widthUm);
  const bar = (value: number): number => Math.floor(value / widthUm) - first;
  const counts = new Array<number>(bar(sorted.at(-1) ?? 0) + 1).fill(0);
  for (const value of sorted) counts[bar(value)] = (counts[bar(value)] ?? 0) + 1;
  return { startUm: first * widthUm, widthUm, counts };
}
