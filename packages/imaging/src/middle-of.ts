/**
 * The number that would stand at place `count >> 1` of the first `count` numbers in order; mixes them (C. A. R. Hoare,
 * Algorithm 65: Find, Communications of the ACM 4 (1961) 321).
 *
 * @param values at least `count` numbers, none of them NaN
 * @param count 1 or more
 */
export function middleOf(values: Float32Array, count: number): number {
  const wanted = count >> 1;
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = values[wanted];
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i > j) break;
      const kept = values[i];
      values[i++] = values[j];
      values[j--] = kept;
    }
    if (j < wanted) low = i;
    if (wanted < i) high = j;
  }
  return values[wanted];
}
