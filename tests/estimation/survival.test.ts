import { describe, expect, it } from 'vitest';
import { estimateSurvival, type SurvivalInput } from '../../packages/estimation/src/estimate-survival.js';
import { fieller } from '../../packages/estimation/src/fieller.js';
import { fitLine, slopeLimits } from '../../packages/estimation/src/fit-line.js';
import { rateRatio } from '../../packages/estimation/src/rate-ratio.js';
import { lastDigits, printed } from './support.js';

const between = (u1: number, u2: number, more: Partial<SurvivalInput> = {}): SurvivalInput => ({
  first: { total: 12e6, relativeStandardUncertainty: u1 },
  second: { total: 9.1e6, relativeStandardUncertainty: u2 },
  days: 5,
  ...more,
});
const codes = (result: { warnings: readonly { code: string }[] }): string[] => result.warnings.map(({ code }) => code);

describe('12.0e6 to 9.1e6 in 5 days (SciPy 1.10.1)', () => {
  it('u .06 and .07', () => {
    const result = estimateSurvival(between(0.06, 0.07));
    expect(result.survival.estimate).toBeCloseTo(0.758333, 6);
    expect(result.relativeStandardUncertainty).toBeCloseTo(0.0921954, 7);
    expect(printed(result.survival, 6)).toEqual([0.63297, 0.908525]);
    expect(lastDigits(result.mortalityPerDay.estimate, 0.0553265, 7)).toBeLessThan(1);
    expect(printed(result.mortalityPerDay, 7)).toEqual([0.0191865, 0.0914664]);
    expect(result.survivalPerDay.estimate).toBeCloseTo(0.946176, 6);
    expect(result.fieller.g).toBeCloseTo(0.0138, 4);
    expect(result.fieller.limits && printed({ estimate: 0, ...result.fieller.limits }, 6)).toEqual([0.63057, 0.907365]);
    expect(codes(result)).toEqual([]);
  });
  it('u .25 and .20: limits by ratio differ and stand beside', () => {
    const result = estimateSurvival(between(0.25, 0.2));
    expect(printed(result.survival, 4)).toEqual([0.4049, 1.4203]);
    expect(result.fieller.limits && printed({ estimate: 0, ...result.fieller.limits }, 4)).toEqual([0.4018, 1.5941]);
    expect(codes(result)).toEqual(['wide-denominator']);
  });
  it('a shared .03 is taken out of both', () => {
    const result = estimateSurvival(between(0.06, 0.07, { sharedRelativeStandardUncertainty: 0.03 }));
    expect(result.relativeStandardUncertainty).toBeCloseTo(0.0818535, 7);
    expect(printed(result.survival, 6)).toEqual([0.645931, 0.890295]);
  });
  it('few degrees of freedom widen it', () => {
    const first = { total: 12e6, relativeStandardUncertainty: 0.06, degreesOfFreedom: 2 };
    expect(estimateSurvival(between(0.06, 0.07, { first })).survival.low).toBeLessThan(0.63);
  });
  it('animals removed are added back', () => {
    expect(estimateSurvival(between(0.06, 0.07, { removed: 0.9e6 })).survival.estimate).toBeCloseTo(10 / 12, 10);
  });
});

describe('flags', () => {
  it('another method, an unbounded ratio, no loss, and more than the error allows', () => {
    const tank = { total: 12e6, relativeStandardUncertainty: 0.06 };
    expect(codes(estimateSurvival(between(0.06, 0.07, { first: { ...tank, method: 'by hand' } })))).toEqual([
      'method-differs',
    ]);
    const wide = estimateSurvival(between(0.6, 0.2));
    expect(wide.fieller.limits).toBeNull();
    expect(codes(wide)).toEqual(['unbounded-ratio']);
    const second = (total: number): Partial<SurvivalInput> => ({ second: { ...tank, total } });
    expect(codes(estimateSurvival(between(0.06, 0, second(12.5e6))))).toEqual(['no-measurable-loss']);
    expect(codes(estimateSurvival(between(0.06, 0, second(24.9e6))))).toEqual(['survival-above-1']);
  });
  it('more than was stocked on either date, with those removed counted in', () => {
    const tank = { total: 12e6, relativeStandardUncertainty: 0.06 };
    const flagged = (more: Partial<SurvivalInput>): boolean =>
      codes(estimateSurvival(between(0.06, 0.07, more))).includes('more-than-stocked');
    expect(flagged({ stocked: 12e6 })).toBe(false);
    expect(flagged({ stocked: 11.9e6 })).toBe(true);
    expect(flagged({ stocked: 13e6, second: { ...tank, total: 12.5e6 }, removed: 1e6 })).toBe(true);
    expect(() => estimateSurvival(between(0, 0, { stocked: 0 }))).toThrow('Expected stocked to be a number above 0');
  });
  it('refusals', () => {
    const zero = { total: 0, relativeStandardUncertainty: 0 };
    expect(() => estimateSurvival(between(0, 0, { first: zero }))).toThrow(
      'Expected first.total to be a number above 0, but got 0',
    );
    expect(() => estimateSurvival(between(0, 0, { second: zero }))).toThrow('Expected second.total');
    expect(() => estimateSurvival(between(0, 0, { days: 0 }))).toThrow(
      'Expected days to be a number above 0, but got 0',
    );
    expect(() => estimateSurvival(between(0.1, 0.2, { sharedRelativeStandardUncertainty: 0.15 }))).toThrow(
      'a number from 0 to the smaller of both, 0.1, but got 0.15',
    );
  });
});

describe('CV-12: a bucket of the public trial, days 0 to 18 (github RobertsLab/project-oyster-oa; rates derived)', () => {
  const totals = [60_000, 55_555.6, 58_500, 41_600, 34_666.7, 23_306.7, 8533.3, 9600, 7286.7, 1760];
  const steps = totals.slice(1).map((total, i) =>
    estimateSurvival({
      first: { total: totals[i], relativeStandardUncertainty: 0 },
      second: { total, relativeStandardUncertainty: 0 },
      days: 2,
    }),
  );
  it('share of the start', () => {
    const percent = totals.map((total) => {
      const start = { total: 60_000, relativeStandardUncertainty: 0 };
      const { survival } = estimateSurvival({ first: start, second: { ...start, total }, days: 2 });
      return Number((100 * survival.estimate).toFixed(2));
    });
    expect(percent).toEqual([100, 92.59, 97.5, 69.33, 57.78, 38.84, 14.22, 16, 12.14, 2.93]);
  });
  it('survival of each interval, with two impossible rises flagged', () => {
    const expected = [0.9259, 1.053, 0.7111, 0.8333, 0.6723, 0.3661, 1.125, 0.759, 0.2415];
    steps.forEach(({ survival }, i) => {
      expect(survival.estimate).toBeCloseTo(expected[i], 4);
    });
    expect(steps.map((step) => codes(step).includes('survival-above-1'))).toEqual(expected.map((s) => s > 1));
  });
  it('over all: Z .19606 a day, daily survival .82197', () => {
    const all = estimateSurvival({
      first: { total: 60_000, relativeStandardUncertainty: 0 },
      second: { total: 1760, relativeStandardUncertainty: 0 },
      days: 18,
    });
    expect(all.mortalityPerDay.estimate).toBeCloseTo(0.19606, 5);
    expect(all.survivalPerDay.estimate).toBeCloseTo(0.82197, 5);
  });
  it('CV-13: 36,111.1 to 74,666.7 of 60,000 stocked is a ratio of 2.068 and both are flagged', () => {
    const rise = estimateSurvival({
      first: { total: 36_111.1, relativeStandardUncertainty: 0.1 },
      second: { total: 74_666.7, relativeStandardUncertainty: 0.1 },
      days: 2,
      stocked: 60_000,
    });
    expect(rise.survival.estimate).toBeCloseTo(2.068, 3);
    expect(codes(rise)).toEqual(['more-than-stocked', 'survival-above-1']);
  });
});

describe('single counts compared (R poisson.test and SciPy 1.10.1)', () => {
  it('118 of 154: .766234 (.597687 to .980236), p .03363; by logarithm .602867 to .973870', () => {
    const ratio = rateRatio({ count: 154, volumeMl: 1 }, { count: 118, volumeMl: 1 });
    expect(ratio.estimate).toBeCloseTo(0.766234, 6);
    expect(printed(ratio, 6)).toEqual([0.597687, 0.980236]);
    expect(ratio.p).toBeCloseTo(0.03363, 5);
    const byLog = estimateSurvival({
      first: { total: 154, relativeStandardUncertainty: 1 / Math.sqrt(154) },
      second: { total: 118, relativeStandardUncertainty: 1 / Math.sqrt(118) },
      days: 1,
    });
    expect(printed(byLog.survival, 6)).toEqual([0.602867, 0.97387]);
  });
  it('9983 of 10291: .9700709 (.9436314 to .9972484), p .03107 (published R output)', () => {
    const ratio = rateRatio({ count: 10291, volumeMl: 1 }, { count: 9983, volumeMl: 1 });
    expect(ratio.estimate).toBeCloseTo(0.9700709, 7);
    expect(printed(ratio, 7)).toEqual([0.9436314, 0.9972484]);
    expect(ratio.p).toBeCloseTo(0.03107, 5);
  });
  it('88 in 2 mL of 160 in 1 mL: .275 (.209553 to .358904)', () => {
    const ratio = rateRatio({ count: 160, volumeMl: 1 }, { count: 88, volumeMl: 2 });
    expect(ratio.estimate).toBeCloseTo(0.275, 12);
    expect(printed(ratio, 6)).toEqual([0.209553, 0.358904]);
    expect(() => rateRatio({ count: 0, volumeMl: 1 }, { count: 3, volumeMl: 1 })).toThrow('Expected the first count');
  });
});

describe('several dates (SciPy 1.10.1)', () => {
  it('ln N on days 0, 3, ... 15: -.0434975 (-.048389 to -.0386059)', () => {
    const logs = [12, 10.4, 9, 8.3, 7.2, 6.1].map(Math.log);
    const slope = slopeLimits(fitLine([0, 3, 6, 9, 12, 15], logs));
    expect(slope.estimate).toBeCloseTo(-0.0434975, 7);
    expect(slope.low).toBeCloseTo(-0.048389, 6);
    expect(slope.high).toBeCloseTo(-0.0386059, 7);
  });
});

describe('ratio with covariance', () => {
  it('fully shared variance leaves none: 2/4 with both 10 % and covariance v', () => {
    const { limits } = fieller(
      { numerator: 2, denominator: 4, numeratorVariance: 0.04, denominatorVariance: 0.16, covariance: 0.08 },
      1.96,
    );
    expect(limits?.low).toBeCloseTo(0.5, 6);
    expect(limits?.high).toBeCloseTo(0.5, 6);
  });
});
