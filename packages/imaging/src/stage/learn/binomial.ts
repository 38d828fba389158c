/** Natural logarithm of n! for whole n of 0 or more, by adding up. */
function logFactorials(n: number): Float64Array {
  const logs = new Float64Array(n + 1);
  for (let k = 2; k <= n; k++) logs[k] = logs[k - 1] + Math.log(k);
  return logs;
}

/**
 * P(X >= x) for X binomial of n trials with probability p, added up term by term.
 *
 * @param n trials, whole, 0 to a few hundred thousand
 * @param p 0..1
 */
export function binomialUpperTail(x: number, n: number, p: number): number {
  if (x <= 0) return 1;
  if (x > n || p <= 0) return 0;
  if (p >= 1) return 1;
  const logs = logFactorials(n);
  const [hit, miss] = [Math.log(p), Math.log1p(-p)];
  let sum = 0;
  for (let k = n; k >= x; k--) sum += Math.exp(logs[n] - logs[k] - logs[n - k] + k * hit + (n - k) * miss);
  return Math.min(1, sum);
}

/**
 * Exact two-sided p of McNemar's test: of the larvae that only one of two rules gets right, b the one and c the other,
 * min(1, 2 P(Bin(b + c, 1/2) <= min(b, c))). 1 when there are none.
 */
export function mcNemar(b: number, c: number): number {
  const n = b + c;
  if (n === 0) return 1;
  return Math.min(1, 2 * binomialUpperTail(n - Math.min(b, c), n, 0.5));
}
