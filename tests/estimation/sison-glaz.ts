import { gammaUpper, logGamma } from '../../packages/estimation/src/special-functions.js';

/** Chance of a to b events when the mean is m. */
function between(a: number, b: number, m: number): number {
  const upTo = (k: number): number => (k < 0 ? 0 : gammaUpper(k + 1, m));
  return upTo(b) - upTo(a - 1);
}

/** Mean and second to fourth central moments of a Poisson count cut to a..b, by its factorial moments. */
function cutMoments(a: number, b: number, m: number): [number, number, number, number] {
  const whole = between(a, b, m);
  const factorial = (r: number): number => m ** r * (1 - (between(b - r + 1, b, m) - between(a - r, a - 1, m)) / whole);
  const [f1, f2, f3, f4] = [1, 2, 3, 4].map(factorial);
  return [
    f1,
    f2 + f1 - f1 ** 2,
    f3 + f2 * (3 - 3 * f1) + f1 - 3 * f1 ** 2 + 2 * f1 ** 3,
    f4 + f3 * (6 - 4 * f1) + f2 * (7 - 12 * f1 + 6 * f1 ** 2) + f1 - 4 * f1 ** 2 + 6 * f1 ** 3 - 3 * f1 ** 4,
  ];
}

const sum = (values: readonly number[]): number => values.reduce((x, y) => x + y, 0);

/** Chance that the cut counts add up to n, by Edgeworth's expansion. */
function chanceOfSum(moments: readonly (readonly [number, number, number, number])[], n: number): number {
  const v = sum(moments.map((m) => m[1]));
  const skew = sum(moments.map((m) => m[2])) / v ** 1.5;
  const excess = sum(moments.map((m) => m[3] - 3 * m[1] ** 2)) / v ** 2;
  const x = (n - sum(moments.map((m) => m[0]))) / Math.sqrt(v);
  const h3 = x ** 3 - 3 * x;
  const h4 = x ** 4 - 6 * x ** 2 + 3;
  const h6 = x ** 6 - 15 * x ** 4 + 45 * x ** 2 - 15;
  const normal = Math.exp(-(x ** 2) / 2) / Math.sqrt(2 * Math.PI);
  return (normal * (1 + (skew * h3) / 6 + (excess * h4) / 24 + (skew ** 2 * h6) / 72)) / Math.sqrt(v);
}

/**
 * Limits of all shares at a time by Sison and Glaz 1995 (JASA 90:366), for comparison only: all have one width, so a rare
 * stage gets a lower limit of 0, which is why the estimates offer those of Goodman.
 */
export function sisonGlaz(counts: readonly number[], level = 0.95): [number, number][] {
  const n = sum(counts);
  const certain = Math.exp(n * Math.log(n) - n - logGamma(n + 1));
  const coverage = (c: number): number => {
    const cuts = counts.map((k) => [Math.max(0, k - c), Math.min(n, k + c), k] as const);
    const inside = cuts.reduce((product, [a, b, k]) => product * between(a, b, k), 1);
    return (
      (inside *
        chanceOfSum(
          cuts.map(([a, b, k]) => cutMoments(a, b, k)),
          n,
        )) /
      certain
    );
  };
  let c = 1;
  while (coverage(c + 1) < level) c += 1;
  const part = (level - coverage(c)) / (coverage(c + 1) - coverage(c));
  return counts.map((k) => [Math.max(0, (k - c) / n), Math.min(1, (k + c + 2 * part) / n)]);
}
