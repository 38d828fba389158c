/**
 * The n-th smallest value, counted from 0, in linear time on the average (C. A. R. Hoare 1961, "Algorithm 65: Find",
 * Communications of the ACM 4:321-322; from memory). The values change places.
 *
 * @param values finite numbers, one or more
 * @param n 0..values.length - 1
 */
export function nthSmallest(values: Float64Array, n: number): number {
  let [left, right] = [0, values.length - 1];
  while (left < right) {
    const pivot = values[n];
    let [low, high] = [left, right];
    do {
      while (values[low] < pivot) low++;
      while (pivot < values[high]) high--;
      if (low <= high) {
        const value = values[low];
        values[low++] = values[high];
        values[high--] = value;
      }
    } while (low <= high);
    if (high < n) left = low;
    if (n < low) right = high;
  }
  return values[n];
}

/** Middle value, of an even number the upper of the two in the middle; the values change places. */
export const middleOf = (values: Float64Array): number => nthSmallest(values, values.length >> 1);
