import { describe, expect, it } from 'vitest';
import { estimateCount, type CountEstimate, type CountMethod } from '@veligrid/estimation';
import { countDraw, seededDraws } from '../../tools/simulation/draws.js';
import { exact, subsamplesOf } from './support.js';
import {
  stopLine,
  stopRule,
  subsamplesByStudent,
  subsamplesForHalfWidth,
  subsamplesForStandardError,
} from '../../packages/estimation/src/precision.js';

const clumped = (mean: number, k: number): { mean: number; cv: number } => ({ mean, cv: Math.sqrt(1 / k) });

describe('how many subsamples (formulas of Elliott 1977; numbers by SciPy 1.10.1)', () => {
  it.each([
    [clumped(10, 2), 0.2, 15, 57.62],
    [clumped(50, 10), 0.1, 12, 46.1],
    [{ mean: 10, cv: 0 }, 0.1, 10, 38.41],
  ])('%j to %f: %f for the standard error, %f for the half-width', (scatter, part, byError, byWidth) => {
    expect(subsamplesForStandardError(scatter, part)).toBeCloseTo(byError, 8);
    expect(subsamplesForHalfWidth(scatter, part)).toBeCloseTo(byWidth, 2);
  });
  it.each([
    [0.26, 0.2, 9, 6.49],
    [0.1, 0.1, 7, 3.84],
  ])('CV %f to %f: %d with t, %f by the normal', (cv, part, n, byNormal) => {
    expect(subsamplesByStudent(cv, part)).toBe(n);
    expect(subsamplesForHalfWidth({ mean: Infinity, cv }, part)).toBeCloseTo(byNormal, 2);
  });
  it.each([
    [0.2, 96.04],
    [0.1, 384.15],
  ])('%f by the normal quantile for a random spread: %f animals', (part, animals) => {
    expect(subsamplesForHalfWidth({ mean: 1, cv: 0 }, part)).toBeCloseTo(animals, 2);
  });
  it('refuses a precision or a CV out of range', () => {
    expect(() => subsamplesByStudent(0.1, 0)).toThrow('Expected the wanted precision to be a part from 0.001 to 10');
    expect(() => subsamplesByStudent(-1, 0.1)).toThrow('Expected the CV to be a number from 0 to 5');
  });
});

describe('stop line of Kuno 1969 (formula from memory; numbers by SciPy 1.10.1)', () => {
  it.each([
    [6, 600],
    [10, 200],
    [20, 133.33],
    [5, Infinity],
  ])('k 20, part .1, %d subsamples: %f', (n, total) => {
    expect(stopLine(n, { k: 20, part: 0.1 })).toBeCloseTo(total, 2);
  });
});

describe('the rule after each filling', () => {
  const at = (high: number, method: CountMethod = 'own-history'): Pick<CountEstimate, 'total' | 'method'> => ({
    total: { estimate: 100, low: 50, high },
    method,
  });
  it('stops when precise enough, but never at one filling', () => {
    expect(stopRule(at(119), { fillings: 2, most: 8, part: 0.2 })).toMatchObject({
      stop: true,
      reason: 'precise-enough',
    });
    expect(stopRule(at(119), { fillings: 1, most: 8, part: 0.2 })).toMatchObject({ stop: false, more: 1 });
  });
  it('without own history wants four fillings, as two or three may agree by luck', () => {
    const own = at(119, 'log-t-with-poisson-floor');
    expect(stopRule(own, { fillings: 3, most: 8, part: 0.2 })).toMatchObject({ stop: false, more: 1 });
    expect(stopRule(own, { fillings: 4, most: 8, part: 0.2 })).toMatchObject({ stop: true });
  });
  it('limits still hold when counting stops by it: 93 % or more, less 3 standard errors (seeded)', () => {
    const draws = seededDraws(12);
    let held = 0;
    for (let sample = 0; sample < 1500; sample += 1) {
      const counts: number[] = [];
      let estimate: CountEstimate;
      do {
        counts.push(countDraw(150, 0.2, draws));
        estimate = estimateCount(exact(subsamplesOf(counts)));
      } while (!stopRule(estimate, { fillings: counts.length, most: 8, part: 0.2 }).stop);
      if (estimate.total.low <= 150 && 150 <= estimate.total.high) held += 1;
    }
    expect(held / 1500).toBeGreaterThan(0.93 - 3 * Math.sqrt((0.93 * 0.07) / 1500));
  });
  it('stops at the most agreed on and says what was reached', () => {
    const answer = stopRule(at(150), { fillings: 8, most: 8, part: 0.2 });
    expect(answer).toEqual({ stop: true, reason: 'most-reached', reached: 0.5 });
  });
  it('says how many more: width falls as the root, so 4 fillings at 44 % need 16 for 20 %', () => {
    expect(stopRule(at(144), { fillings: 4, most: 50, part: 0.2 })).toMatchObject({ stop: false, more: 12 });
    expect(stopRule(at(144), { fillings: 4, most: 10, part: 0.2 })).toMatchObject({ stop: false, more: 6 });
  });
  it('goes on to the most while nothing is counted', () => {
    const nothing = { total: { estimate: 0, low: 0, high: 3 }, method: 'counting-error-only' } as const;
    expect(stopRule(nothing, { fillings: 2, most: 6, part: 0.2 })).toMatchObject({ stop: false, more: 4 });
  });
});
