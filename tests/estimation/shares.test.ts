import { describe, expect, it } from 'vitest';
import { estimateShare, estimateStages } from '../../packages/estimation/src/estimate-share.js';
import { handTally, type Tally } from '@veligrid/estimation';
import {
  clopperPearson,
  goodman,
  numberToSeeOne,
  upperWhenNoneSeen,
  wilson,
} from '../../packages/estimation/src/proportions.js';
import { printed } from './support.js';

const slides = (positive: number[], of: number[]): { positive: Tally; of: Tally }[] =>
  positive.map((x, i) => ({ positive: handTally(x), of: handTally(of[i]) }));

describe('limits of one share', () => {
  it.each([
    // Newcombe 1998, Statistics in Medicine 17:857, table I, methods 3 and 5, as quoted in public tests.
    [81, 263, [0.2553, 0.3662], [0.2527, 0.3676]],
    [15, 148, [0.0624, 0.1605], [0.0578, 0.1617]],
    [0, 20, [0, 0.1611], [0, 0.1684]],
    [1, 29, [0.0061, 0.1718], [0.0009, 0.1776]],
    // Not of Newcombe: a public test file.
    [490, 500, [0.9636, 0.9891], [0.9635, 0.9904]],
    [20, 20, [0.8389, 1], [0.8316, 1]],
    // CV-40, 270 of 300 eggs fertilised (SciPy 1.10.1).
    [270, 300, [0.8608, 0.9291], [0.8603, 0.9315]],
  ])('%d of %d', (x, n, byWilson, exact) => {
    expect(printed(wilson(x, n), 4)).toEqual(byWilson);
    expect(printed(clopperPearson(x, n), 4)).toEqual(exact);
    expect(wilson(x, n).estimate).toBe(x / n);
  });

  it('further digits by SciPy 1.10.1', () => {
    expect(printed(wilson(187, 200), 6)).toEqual([0.891981, 0.961624]);
    expect(printed(clopperPearson(3, 412), 6)).toEqual([0.001504, 0.021131]);
    expect(printed(clopperPearson(0, 500), 6)).toEqual([0, 0.007351]);
  });

  it('15 of 400 by score, z 1.96: .0227264749 to .0618771721 (statsmodels test, from DescTools; no continuity)', () => {
    // That test is of a Poisson rate, the form that Wilson's limits go over into for 15 of a million times 400.
    const wide = wilson(15, 4e8);
    expect(wide.low * 1e6).toBeCloseTo(0.0227264749, 6);
    expect(wide.high * 1e6).toBeCloseTo(0.0618771721, 6);
  });

  it('none seen: closed form 1 - .05^(1/n); 299 for 1 %, 59 for 5 %', () => {
    expect(upperWhenNoneSeen(59)).toBeCloseTo(1 - 0.05 ** (1 / 59), 12);
    expect(upperWhenNoneSeen(59)).toBeLessThan(0.05);
    expect(numberToSeeOne(0.01)).toBe(299);
    expect(numberToSeeOne(0.05)).toBe(59);
  });

  it('refuses more positive than scored, and none scored', () => {
    expect(() => wilson(3, 2)).toThrow('Expected the positive ones to be a number from 0 to 2, but got 3');
    expect(() => clopperPearson(0, 0)).toThrow('Expected the number scored to be a number above 0, but got 0');
  });
});

describe('stages', () => {
  it('Sison and Glaz 1995, example 1: Goodman limits to 3 digits (statsmodels test)', () => {
    const limits = goodman([56, 72, 73, 59, 62, 87, 58]).map((one) => printed(one, 3));
    expect(limits).toEqual([
      [0.085, 0.166],
      [0.115, 0.204],
      [0.116, 0.207],
      [0.091, 0.173],
      [0.096, 0.181],
      [0.143, 0.239],
      [0.089, 0.171],
    ]);
  });
  it.each([
    [
      [120, 45, 20, 10, 5],
      [
        [0.5089, 0.6846],
        [0.1585, 0.3092],
        [0.0576, 0.1681],
        [0.0228, 0.1061],
        [0.0084, 0.0721],
      ],
    ],
    [
      [380, 96, 18, 6],
      [
        [0.7093, 0.8043],
        [0.1519, 0.2397],
        [0.0203, 0.0632],
        [0.0045, 0.0315],
      ],
    ],
  ])('%j (SciPy 1.10.1)', (counts, limits) => {
    expect(goodman(counts).map((one) => printed(one, 4))).toEqual(limits);
  });
  it('are named and add up', () => {
    const { stages, of, warnings } = estimateStages({
      egg: handTally(0),
      'two-cell': handTally(12),
      morula: handTally(8),
    });
    expect(of).toBe(20);
    expect(stages['egg']).toMatchObject({ estimate: 0, low: 0, count: 0 });
    expect(stages['two-cell'].estimate).toBe(0.6);
    expect(warnings.map(({ code }) => code)).toEqual(['few-counted']);
    expect(() => estimateStages({ egg: handTally(3) })).toThrow('two classes or more with something counted');
  });
});

describe('shares over slides (SciPy 1.10.1)', () => {
  it('slides that differ: design effect 14.597, t of 4 degrees', () => {
    const result = estimateShare(slides([58, 49, 66, 40, 71], [60, 70, 75, 72, 74]));
    expect(result.share.estimate).toBeCloseTo(0.809117, 6);
    expect(result.designEffect).toBeCloseTo(14.59656, 5);
    expect(result.effectiveOf).toBeCloseTo(24.04676, 5);
    expect(printed(result.share, 5)).toEqual([0.52642, 0.94174]);
    expect(printed(wilson(284, 351), 5)).toEqual([0.76474, 0.8468]);
    expect(result.homogeneity?.x2).toBeCloseTo(58.281, 3);
    expect(result.homogeneity?.p).toBeCloseTo(6.7e-12, 13);
    expect(result.warnings.map(({ code }) => code)).toEqual(['slides-differ']);
  });
  it('another five: .732899, design effect 3.101145', () => {
    const result = estimateShare(slides([42, 55, 38, 61, 29], [60, 70, 55, 72, 50]));
    expect(result.share.estimate).toBeCloseTo(0.732899, 6);
    expect(result.designEffect).toBeCloseTo(3.101145, 6);
  });
  it('one slide: Wilson, and the denominator in words', () => {
    const result = estimateShare(slides([270], [300]), { denominator: 'eggs' });
    expect(printed(result.share, 4)).toEqual([0.8608, 0.9291]);
    expect(result.denominator).toBe('eggs');
    expect(result.homogeneity).toBeNull();
    expect(result.warnings.map(({ code }) => code)).toEqual(['one-slide']);
  });
  it('none positive over slides', () => {
    const result = estimateShare(slides([0, 0], [30, 29]));
    expect(result.share.low).toBe(0);
    expect(result.upperIfNone).toBeCloseTo(1 - 0.05 ** (1 / 59), 12);
    expect(result.homogeneity).toEqual({ x2: 0, df: 1, p: 1 });
    expect(result.denominator).toBe('all that could be scored');
  });
  it('refuses a slide with more positive than scored, with none scored, and no slide', () => {
    expect(() => estimateShare(slides([1, 3], [2, 2]))).toThrow(
      'Expected slides[1].positive to be no more than the 2 scored on that slide, but got 3',
    );
    expect(() => estimateShare(slides([0], [0]))).toThrow('Expected slides[0].of to be 1 or more scored, but got 0');
    expect(() => estimateShare([])).toThrow('Expected slides to be a list of one or more, but got "none"');
  });
});
