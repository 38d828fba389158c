/** The middle of some numbers, or the upper of the two middle ones; NaN of none. */
export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? NaN;
