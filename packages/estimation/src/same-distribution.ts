import { badArgument } from '@veligrid/model';

/** Most pairs for which the exact chance is worked out. */
const EXACT_PAIRS = 10_000;

/** How far two sets of lengths differ anywhere along the axis (Kolmogorov 1933, Smirnov 1939). */
export interface DistributionTest {
  /** Largest distance between the two cumulative shares. */
  readonly d: number;
  /** Chance of this distance or more when both come from one distribution; lengths of no ties. */
  readonly p: number;
  readonly method: 'exact' | 'series';
}

/** Both cumulative shares, times n and m, at the distance that is largest. */
function largestDistance(first: readonly number[], second: readonly number[]): number {
  const [a, b] = [[...first].sort((x, y) => x - y), [...second].sort((x, y) => x - y)];
  let [i, j, most] = [0, 0, 0];
  while (i < a.length && j < b.length) {
    const at = Math.min(a[i] ?? Infinity, b[j] ?? Infinity);
    while (i < a.length && (a[i] ?? 0) <= at) i += 1;
    while (j < b.length && (b[j] ?? 0) <= at) j += 1;
    most = Math.max(most, Math.abs(i * b.length - j * a.length));
  }
  return most;
}

/** Chance that a random order of n and m strays this far, by counting paths (Hodges 1958). */
function exactChance(n: number, m: number, distance: number): number {
  // Part of all paths to (i, j) that stay inside; divided on the way so that nothing overflows.
  let row: number[] = Array.from({ length: m + 1 }, (_, j) => (j * n < distance ? 1 : 0));
  for (let j = 1; j <= m; j += 1) row[j] = (row[j - 1] ?? 0) * (row[j] ?? 0);
  for (let i = 1; i <= n; i += 1) {
    const next: number[] = [];
    for (let j = 0; j <= m; j += 1) {
      const inside = Math.abs(i * m - j * n) < distance;
      const [above, left] = [row[j] ?? 0, next[j - 1] ?? 0];
      next.push(inside ? (above * i + left * j) / (i + j) : 0);
    }
    row = next;
  }
  return 1 - (row[m] ?? 0);
}

/** Kolmogorov's series Q(x) = 2 sum (-1)^(k-1) exp(-2 k^2 x^2). */
function series(x: number): number {
  if (x < 0.2) return 1;
  let sum = 0;
  for (let k = 1; k <= 100; k += 1) sum += 2 * (-1) ** (k - 1) * Math.exp(-2 * (k * x) ** 2);
  return Math.min(1, Math.max(0, sum));
}

/**
 * Whether two sets of lengths have one distribution. Look at the difference of means or percentiles first; measure
 * lengths unrounded, as ties make the chance too large.
 *
 * @param method by default exact up to 10,000 pairs
 */
export function sameDistribution(
  first: readonly number[],
  second: readonly number[],
  method: 'exact' | 'series' = first.length * second.length <= EXACT_PAIRS ? 'exact' : 'series',
): DistributionTest {
  const [n, m] = [first.length, second.length];
  if (n === 0 || m === 0) throw badArgument('both sets', 'one length or more', Math.min(n, m));
  const distance = largestDistance(first, second);
  const d = distance / (n * m);
  const p = method === 'exact' ? exactChance(n, m, distance) : series(Math.sqrt((n * m) / (n + m)) * d);
  return { d, p, method };
}
