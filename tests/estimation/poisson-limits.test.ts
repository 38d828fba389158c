import { describe, expect, it } from 'vitest';
import { countForPrecision, lundHalfWidth, poissonLimits } from '../../packages/estimation/src/poisson-limits.js';
import { estimateCount } from '@veligrid/estimation';
import { exact, printed, subsamplesOf } from './support.js';

describe('exact limits of one count', () => {
  it.each([
    // Table of McMaster University (Macdonald) for 0 to 5, read in a public self-test that quotes it.
    [0, 0, 3.6889, 4],
    [1, 0.0253, 5.5716, 4],
    [2, 0.2422, 7.2247, 4],
    [3, 0.6187, 8.7673, 4],
    [5, 1.6235, 11.6683, 4],
    // R survival::cipoisson prints 10.24153 for the upper limit of 4; SciPy 1.10.1 and ours give 10.24159.
    [4, 1.089865, 10.24159, 5],
    // Table of Hanley (McGill University), quoted likewise.
    [6, 2.2, 13.06, 2],
    [9, 4.12, 17.08, 2],
    [14, 7.65, 23.49, 2],
    [10, 4.795389, 18.390356, 6],
    [20, 12.22, 30.89, 2],
    [30, 20.24, 42.83, 2],
    [65, 50.1656, 82.8478, 4],
    // chi-square tables 162.728/2 and 243.254/2, NIST e-Handbook; digits by SciPy 1.10.1.
    [100, 81.363991, 121.626794, 6],
    [400, 361.756297, 441.186648, 6],
    // FACTS of the trade: the 200 of the Lund rule, digits by SciPy 1.10.1.
    [200, 173.2, 229.7, 1],
  ])('%d counted: %f to %f', (count, low, high, digits) => {
    expect(poissonLimits(count).low).toBeCloseTo(low, Math.min(digits, 5));
    expect(poissonLimits(count).high).toBeCloseTo(high, Math.min(digits, 5));
  });

  it('at 99 %: Hanley prints 3.72 and 21.40 for 10', () => {
    expect(printed(poissonLimits(10, 0.99), 4)).toEqual([3.7169, 21.3978]);
  });

  it('closed forms: 0 counted gives -ln(a/2) above, 1 counted -ln(1-a/2) below', () => {
    expect(poissonLimits(0).high).toBeCloseTo(-Math.log(0.025), 12);
    expect(poissonLimits(1).low).toBeCloseTo(-Math.log(0.975), 12);
    expect(poissonLimits(0, 0.9).high).toBeCloseTo(2.9957, 4);
  });

  it('15 of 400 looked at: 0.0209884653319583 to 0.0618505471787146 (statsmodels test, from R exactci)', () => {
    expect(poissonLimits(15).low / 400).toBeCloseTo(0.0209884653319583, 13);
    expect(poissonLimits(15).high / 400).toBeCloseTo(0.0618505471787146, 13);
  });

  it('refuses a count below 0', () => {
    expect(() => poissonLimits(-1)).toThrow('Expected count to be a number of 0 or more, but got -1');
  });
});

describe('counting error alone, scaled up (SciPy 1.10.1)', () => {
  it('154 in 1 mL of 100 L', () => {
    const { countingErrorAlone: alone } = estimateCount(exact(subsamplesOf([154]), 100_000));
    expect(alone.estimate).toBeCloseTo(15.4e6, 3);
    expect(printed(alone, -3 + 3).map((v) => Math.round(v / 1000))).toEqual([13064, 18033]);
  });

  it('87 in 1 mL diluted tenfold, of 2000 L', () => {
    const [subsample] = subsamplesOf([87]);
    const { countingErrorAlone: alone } = estimateCount(
      exact([{ ...subsample, steps: [{ takenMl: 10, madeUpToMl: 100 }] }], 2_000_000),
    );
    expect(alone.estimate).toBeCloseTo(1.74e9, 1);
    expect([alone.low, alone.high].map((v) => Math.round(v / 1e5) / 1e4)).toEqual([1.3937, 2.1463]);
  });

  it('unequal volumes: 103.4 per mL, 94.678 to 112.710', () => {
    const { countingErrorAlone: alone } = estimateCount(
      exact(subsamplesOf([52, 98, 47, 110, 210], [0.5, 1, 0.5, 1, 2]), 1),
    );
    expect(alone.estimate).toBeCloseTo(103.4, 10);
    expect(printed(alone, 4)).toEqual([94.6779, 112.7095]);
  });
});

describe('how many to count', () => {
  it.each([
    [0.5, 24],
    [0.25, 77],
    [0.2, 116],
    [0.1, 423],
    [0.05, 1615],
  ])('upper limit within %f: %d (SciPy 1.10.1)', (part, count) => {
    expect(countForPrecision(part)).toBe(count);
  });

  it.each([
    [100, 0.2],
    [200, 0.141],
    [400, 0.1],
  ])('Lund, Kipling and Le Cren 1958: %d gives %f', (count, part) => {
    expect(lundHalfWidth(count)).toBeCloseTo(part, 3);
  });

  it('refuses a precision of nothing', () => {
    expect(() => countForPrecision(0)).toThrow(
      'Expected the wanted precision to be a part of 0.001 or more, but got 0',
    );
  });
});
