import { describe, expect, it } from 'vitest';
import { pooledHistory, STARTING_HISTORY } from '../../packages/estimation/src/history.js';
import { STARTING_TRIPLICATES } from '../../packages/estimation/src/starting-triplicates.js';
import { dispersionOf } from '../../packages/estimation/src/dispersion.js';
import { subsamplesForHalfWidth } from '../../packages/estimation/src/precision.js';
import { chiSquareUpper } from '../../packages/estimation/src/special-functions.js';

const SET_A = [154, 148, 161, 139, 170];
const SET_B = [98, 143, 171, 120, 205, 134];

describe('pooled history', () => {
  it('of four samples: CV .15987 on 14 degrees (SciPy 1.10.1)', () => {
    const { cv, degreesOfFreedom } = pooledHistory([SET_A, SET_B, [60, 75, 52, 66], [210, 188, 246]]);
    expect(cv ** 2).toBeCloseTo(0.02555818, 8);
    expect(cv).toBeCloseTo(0.15987, 5);
    expect(degreesOfFreedom).toBe(14);
  });
  it('is 0, not less, for counts that scatter less than chance', () => {
    expect(pooledHistory([SET_A]).cv).toBe(0);
  });
  it('passes over single and empty counts, and refuses nothing else', () => {
    expect(pooledHistory([SET_B, [5], [0, 0]])).toEqual(pooledHistory([SET_B]));
    expect(() => pooledHistory([[5]])).toThrow('counts with two or more subsamples each');
  });
});

describe('the 26 published triplicates (public hatch data, github RobertsLab/project-oyster-oa @a4d3a12b)', () => {
  const each = STARTING_TRIPLICATES.map((counts) => dispersionOf(counts, [1, 1, 1]));
  const sum = each.reduce((total, { x2 }) => total + x2, 0);
  it('CV-21: sum of X2 146.27 on 52 degrees, phi 2.813, p 6.7e-11; 8 of 26 reject at 5 %', () => {
    expect(STARTING_TRIPLICATES).toHaveLength(26);
    expect(sum).toBeCloseTo(146.27, 2);
    expect(sum / 52).toBeCloseTo(2.813, 3);
    expect(chiSquareUpper(sum, 52)).toBeCloseTo(6.7e-11, 12);
    expect(each.filter(({ pUpper }) => pUpper < 0.05)).toHaveLength(8);
  });
  it('CV-21: 10 % needs 385 counted when random, 1081 with this scatter', () => {
    // Animals as subsamples of a mean of 1, whose variance over mean phi is 1 + cv^2.
    const needed = (phi: number): number => subsamplesForHalfWidth({ mean: 1, cv: Math.sqrt(phi - 1) }, 0.1);
    expect(Math.ceil(needed(1))).toBe(385);
    expect(Math.ceil(needed(sum / 52))).toBe(1081);
  });
  it('give the starting CV by the formula of pooling (NumPy 1.24.2: .1285134)', () => {
    expect(STARTING_HISTORY.cv).toBeCloseTo(0.1285134, 7);
    // JCGM 100:2008 G.4.2 with a relative uncertainty of .075/.1285134 = .583597: 1/(2 x .340585) = 1.46806.
    expect(STARTING_HISTORY.degreesOfFreedom).toBeCloseTo(1.46806, 4);
  });
});
