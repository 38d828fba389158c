/** Sum of the values; 0 for none. */
export const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

/** Mean of the values; NaN for none. */
export const mean = (values: readonly number[]): number => sum(values) / values.length;

/** Variance with divisor n - 1; NaN for fewer than two. */
export function variance(values: readonly number[]): number {
  const m = mean(values);
  return sum(values.map((value) => (value - m) ** 2)) / (values.length - 1);
}

/** Standard deviation with divisor n - 1. */
export const standardDeviation = (values: readonly number[]): number => Math.sqrt(variance(values));
