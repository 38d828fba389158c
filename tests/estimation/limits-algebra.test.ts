import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { differenceLimits, exactly, productLimits, ratioLimits, sumLimits, type Limits } from '@veligrid/estimation';

const around = (estimate: number, u: number): Limits => ({
  estimate,
  low: estimate * Math.exp(-1.959964 * u),
  high: estimate * Math.exp(1.959964 * u),
});

describe('limits of products, ratios, sums and differences', () => {
  it('12.0e6 (6 %) to 9.1e6 (7 %): .632970 to .908525 as by log-delta (SciPy 1.10.1)', () => {
    const { estimate, low, high } = ratioLimits(around(9.1e6, 0.07), around(12e6, 0.06));
    expect(estimate).toBeCloseTo(0.758333, 6);
    expect(low).toBeCloseTo(0.63297, 6);
    expect(high).toBeCloseTo(0.908525, 6);
  });
  it('difference of two proportions, 56/70 and 48/80 (Newcombe 1998, Statistics in Medicine 17:873): .0524 to .3339', () => {
    // Wilson limits of each; the method of that paper is the same rule.
    const difference = differenceLimits(
      { estimate: 0.8, low: 0.691794, high: 0.877016 },
      { estimate: 0.6, low: 0.490325, high: 0.700337 },
    );
    expect(difference.estimate).toBeCloseTo(0.2, 12);
    expect(difference.low).toBeCloseTo(0.0524, 3);
    expect(difference.high).toBeCloseTo(0.3339, 3);
  });
  it('exact figures add nothing', () => {
    const one = { estimate: 10, low: 8, high: 13 };
    expect(productLimits(one, exactly(2))).toEqual({
      estimate: 20,
      low: expect.closeTo(16, 10) as number,
      high: expect.closeTo(26, 10) as number,
    });
    expect(sumLimits([one, exactly(5)])).toEqual({ estimate: 15, low: 13, high: 18 });
    expect(sumLimits([])).toEqual(exactly(0));
  });
  it('none counted: a product has the upper limit of both, and no ratio over 0 is formed', () => {
    const none = { estimate: 0, low: 0, high: 3.7 };
    expect(productLimits(none, { estimate: 0.5, low: 0.4, high: 0.6 })).toEqual({ estimate: 0, low: 0, high: 2.22 });
    expect(ratioLimits(none, exactly(10))).toEqual({ estimate: 0, low: 0, high: 0.37 });
    expect(() => ratioLimits(exactly(1), none)).toThrow('Expected the denominator to be a number above 0');
  });
  it('holds the estimate and stays finite for any limits', () => {
    const any = fc
      .tuple(
        fc.double({ min: 1e-6, max: 1e12, noNaN: true }),
        fc.double({ min: 0, max: 1 }),
        fc.double({ min: 1, max: 50 }),
      )
      .filter(([, low, high]) => !Number.isNaN(low) && !Number.isNaN(high))
      .map(([estimate, low, high]): Limits => ({ estimate, low: estimate * low, high: estimate * high }));
    fc.assert(
      fc.property(any, any, (a, b) => {
        for (const { estimate, low, high } of [
          productLimits(a, b),
          ratioLimits(a, b),
          sumLimits([a, b]),
          differenceLimits(a, b),
        ]) {
          expect(low).toBeLessThanOrEqual(estimate);
          expect(high).toBeGreaterThanOrEqual(estimate);
          expect(Number.isFinite(low) && Number.isFinite(high)).toBe(true);
        }
      }),
      { numRuns: 200, seed: 7 },
    );
  });
});
