import { describe, expect, it } from 'vitest';
import { poissonLimits } from '../../packages/estimation/src/poisson-limits.js';
import { clopperPearson, goodman, wilson } from '../../packages/estimation/src/proportions.js';
import {
  betaQuantile,
  binomialLower,
  gammaUpper,
  normalQuantile,
} from '../../packages/estimation/src/special-functions.js';
import { sisonGlaz } from './sison-glaz.js';
import { lastDigits } from './support.js';

/** Root of a function that falls from above to below 0. */
function root(f: (x: number) => number): number {
  let [low, high] = [0, 1];
  for (let i = 0; i < 60; i += 1) {
    const middle = (low + high) / 2;
    if (f(middle) > 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

const TAIL = 0.025;
const jeffreys = (x: number, n: number): [number, number] => [
  x === 0 ? 0 : betaQuantile(TAIL, x + 0.5, n - x + 0.5),
  x === n ? 1 : betaQuantile(1 - TAIL, x + 0.5, n - x + 0.5),
];
/** P(X < x) + P(X = x)/2. */
const midway = (x: number, n: number, p: number): number => (binomialLower(x, n, p) + binomialLower(x - 1, n, p)) / 2;
const midP = (x: number, n: number): [number, number] => [
  x === 0 ? 0 : root((p) => midway(x, n, p) - (1 - TAIL)),
  x === n ? 1 : root((p) => midway(x, n, p) - TAIL),
];
/** Wilson's with continuity correction (method 4 of Newcombe 1998). */
function corrected(x: number, n: number): [number, number] {
  const z = normalQuantile(1 - TAIL);
  const p = x / n;
  const side = (sign: number): number =>
    (2 * n * p + z * z + sign * (1 + z * Math.sqrt(z * z + sign * 2 - 1 / n + 4 * p * (n * (1 - p) - sign)))) /
    (2 * (n + z * z));
  return [x === 0 ? 0 : side(-1), x === n ? 1 : side(1)];
}

describe('other limits of the counts of Newcombe 1998, table I, by our special functions (SciPy 1.10.1)', () => {
  it.each([
    [81, 263, [0.254522, 0.365647], [0.2544, 0.3658], [0.2535, 0.3682]],
    [15, 148, [0.060449, 0.157643], [0.0601, 0.1581], [0.0598, 0.1644]],
    [0, 20, [0, 0.116639], [0, 0.1391], [0, 0.2005]],
    [1, 29, [0.003746, 0.150078], [0.0017, 0.1585], [0.0018, 0.1963]],
  ])('%d of %d: Jeffreys, mid-P, Wilson with continuity', (...row) => {
    const [x, n, byJeffreys, byMidP, byCorrected] = row;
    expect(jeffreys(x, n).map((p) => Number(p.toFixed(6)))).toEqual(byJeffreys);
    expect(midP(x, n).map((p) => Number(p.toFixed(4)))).toEqual(byMidP);
    expect(corrected(x, n).map((p) => Number(p.toFixed(4)))).toEqual(byCorrected);
    // What we offer brackets them as it must: exact limits lie outside mid-P and Jeffreys, Wilson inside its correction.
    const [exact, score] = [clopperPearson(x, n), wilson(x, n)];
    expect(exact.low).toBeLessThanOrEqual(Math.min(jeffreys(x, n)[0], midP(x, n)[0]));
    expect(exact.high).toBeGreaterThanOrEqual(Math.max(jeffreys(x, n)[1], midP(x, n)[1]));
    expect(score.low).toBeGreaterThanOrEqual(corrected(x, n)[0]);
    expect(score.high).toBeLessThanOrEqual(corrected(x, n)[1]);
  });
});

describe('limits of all shares by Sison and Glaz (statsmodels test, from R MultinomialCI)', () => {
  const counts = [56, 72, 73, 59, 62, 87, 58];
  it('the example of the paper', () => {
    const printedLimits = [
      [0.0792, 0.1643],
      [0.1135, 0.1986],
      [0.1156, 0.2007],
      [0.0857, 0.1708],
      [0.0921, 0.1772],
      [0.1456, 0.2307],
      [0.0835, 0.1686],
    ];
    sisonGlaz(counts).forEach((limits, i) => {
      limits.forEach((limit, j) => {
        expect(lastDigits(limit, printedLimits[i][j], 4)).toBeLessThan(1);
      });
    });
  });
  it('a rare stage gets a lower limit of 0 by it, but not by Goodman, which is why that one is offered', () => {
    const stages = [120, 45, 20, 10, 5];
    expect(sisonGlaz(stages)[4][0]).toBe(0);
    expect(goodman(stages)[4].low).toBeGreaterThan(0);
  });
});

describe('exact limits of one count hold at least as often as they say (SciPy 1.10.1)', () => {
  it.each([
    [2, 0.983],
    [10, 0.975],
    [50, 0.953],
  ])('mean %d: %f', (mean, coverage) => {
    let holds = 0;
    for (let k = 0; k < 200; k += 1) {
      const { low, high } = poissonLimits(k);
      const upTo = (n: number): number => (n < 0 ? 0 : gammaUpper(n + 1, mean));
      if (low <= mean && mean <= high) holds += upTo(k) - upTo(k - 1);
    }
    expect(holds).toBeCloseTo(coverage, 3);
  });
});

describe('smallest count whose lower limit is within a part (SciPy 1.10.1)', () => {
  it.each([
    [0.5, 12],
    [0.25, 54],
    [0.2, 87],
    [0.1, 365],
    [0.05, 1499],
  ])('%f: %d', (part, count) => {
    const within = (k: number): boolean => 1 - poissonLimits(k).low / k <= part;
    expect(within(count)).toBe(true);
    expect(within(count - 1)).toBe(false);
  });
});
