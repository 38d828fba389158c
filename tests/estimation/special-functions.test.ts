import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import * as own from '../../packages/estimation/src/special-functions.js';

const reference = JSON.parse(
  readFileSync(new URL('../reference/scipy-special.json', import.meta.url), 'utf8'),
) as Record<string, number[][]>;

/** Off by this part of the value, or by the same absolute amount below 1e-300 (where doubles lose digits). */
const off = (value: number, truth: number): number =>
  value === truth ? 0 : Math.abs(value - truth) / Math.max(Math.abs(truth), 1e-290);

type Call = (...args: number[]) => number;
const functions = own as unknown as Record<string, Call>;

describe('against SciPy 1.10.1 (tests/reference/scipy-special.py), to 1e-10', () => {
  const names = Object.keys(reference).filter((name) => Array.isArray(reference[name]));
  it('knows every function of the table', () => {
    expect(names.filter((name) => !(name in functions))).toEqual([]);
    expect(names.length).toBe(16);
  });
  it.each(names)('%s', (name) => {
    const worst = reference[name].map((row) => {
      const truth = row[row.length - 1];
      return { row, value: functions[name](...row.slice(0, -1)), truth };
    });
    expect(worst.length).toBeGreaterThan(3);
    expect(worst.filter(({ value, truth }) => !(off(value, truth) < 1e-10))).toEqual([]);
  });
});

describe('closed forms', () => {
  it('chi-square with 2 degrees of freedom is exponential', () => {
    for (const p of [1e-9, 0.025, 0.5, 0.975]) {
      expect(off(own.chiSquareQuantile(p, 2), -2 * Math.log1p(-p))).toBeLessThan(1e-13);
    }
  });
  it('t with 1 degree of freedom is tan(pi (p - 1/2)); with 2 it is (2p-1) sqrt(2/(4p(1-p)))', () => {
    expect(off(own.studentQuantile(0.975, 1), Math.tan(0.475 * Math.PI))).toBeLessThan(1e-13);
    for (const p of [0.001, 0.3, 0.975, 0.9995]) {
      expect(off(own.studentQuantile(p, 2), (2 * p - 1) * Math.sqrt(2 / (4 * p * (1 - p))))).toBeLessThan(1e-12);
    }
  });
  it('beta(1, b) has quantile 1 - (1-p)^(1/b); gamma of 1/2 is sqrt(pi)', () => {
    for (const b of [0.5, 3, 200]) {
      expect(off(own.betaQuantile(0.025, 1, b), -Math.expm1(Math.log1p(-0.025) / b))).toBeLessThan(1e-12);
    }
    expect(own.logGamma(0.5)).toBeCloseTo(Math.log(Math.PI) / 2, 14);
  });
  it('has the ends of every range', () => {
    expect(own.normalQuantile(0)).toBe(-Infinity);
    expect(own.normalQuantile(1)).toBe(Infinity);
    expect(own.studentQuantile(0.5, 7)).toBe(0);
    expect(own.studentQuantile(0.975, Infinity)).toBeCloseTo(1.959964, 6);
    expect(own.gammaQuantile(0, 3)).toBe(0);
    expect(own.gammaQuantile(1, 3)).toBe(Infinity);
    expect(own.gammaUpper(2, Infinity)).toBe(0);
    expect(own.betaQuantile(1, 2, 3)).toBe(1);
    expect(own.fUpper(0, 2, 3)).toBe(1);
    expect(own.fUpper(1.5, 4, Infinity)).toBeCloseTo(own.chiSquareUpper(6, 4), 14);
    expect(own.binomialLower(-1, 4, 0.5)).toBe(0);
    expect(own.binomialLower(4, 4, 0.5)).toBe(1);
    expect(() => own.normalQuantile(1.2)).toThrow('Expected the probability to be a number from 0 to 1, but got 1.2');
    expect(() => own.logGamma(0)).toThrow('Expected x to be a number above 0, but got 0');
  });
});

describe('primitive checks (SciPy 1.10.1; chi-square of 22, 42, 100 degrees also NIST e-Handbook 1.3.6.7.4)', () => {
  it.each([
    [own.studentQuantile(0.975, 1), 12.7062, 4],
    [own.studentQuantile(0.975, 2), 4.302653, 6],
    [own.studentQuantile(0.975, 4), 2.776445, 6],
    [own.studentQuantile(0.975, 5), 2.570582, 6],
    [own.studentQuantile(0.975, 9), 2.262157, 6],
    [own.studentQuantile(0.975, 30), 2.042272, 6],
    [own.chiSquareQuantile(0.025, 4), 0.4844186, 7],
    [own.chiSquareQuantile(0.975, 4), 11.14329, 5],
    [own.chiSquareQuantile(0.025, 10), 3.246973, 6],
    [own.chiSquareQuantile(0.975, 10), 20.48318, 5],
    [own.chiSquareQuantile(0.975, 22), 36.781, 3],
    [own.chiSquareQuantile(0.975, 42), 61.777, 3],
    [own.chiSquareQuantile(0.025, 100), 74.222, 3],
    [own.chiSquareQuantile(0.975, 2000), 2125.84230245, 8],
    [own.normalQuantile(0.9), 1.281552, 6],
    [own.normalQuantile(0.995), 2.575829, 6],
    [own.gammaLower(3, 2.5), 0.456186884117, 12],
    [own.betaLower(2, 5, 0.3), 0.579825, 6],
    [own.normalLower(1.96), 0.975002104852, 12],
    [own.logGamma(0.5), 0.5723649, 7],
    [own.logGamma(10), 12.80183, 5],
    [own.logGamma(100.5), 361.4355, 4],
    [own.betaQuantile(0.025, 81, 183), 0.2527367, 7],
  ])('%f is %f', (value, printed, digits) => {
    expect(value).toBeCloseTo(printed, digits);
  });
});

describe('laws', () => {
  const chance = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true });
  const shape = fc.double({ min: 1, max: 1e5, noNaN: true });

  it('a quantile goes back to its probability', () => {
    fc.assert(
      fc.property(chance, shape, shape, (p, a, b) => {
        expect(own.gammaLower(a, own.gammaQuantile(p, a))).toBeCloseTo(p, 10);
        expect(own.betaLower(a, b, own.betaQuantile(p, a, b))).toBeCloseTo(p, 9);
        expect(1 - own.studentUpper(own.studentQuantile(p, a), a)).toBeCloseTo(p, 10);
      }),
      { numRuns: 150, seed: 7 },
    );
  });

  it('agrees with jstat where that library is exact enough (1e-7)', () => {
    for (const p of [0.025, 0.4, 0.975]) {
      expect(off(own.chiSquareQuantile(p, 14), jstat.chisquare.inv(p, 14))).toBeLessThan(1e-7);
      expect(off(own.studentQuantile(p, 6), jstat.studentt.inv(p, 6))).toBeLessThan(1e-7);
      expect(off(own.betaQuantile(p, 6, 95), jstat.beta.inv(p, 6, 95))).toBeLessThan(1e-7);
    }
  });

  it('stays exact at the counts of a whole tank', () => {
    // Wilson-Hilferty with its next term is off by less than 1e-12 here (Abramowitz and Stegun 26.4.14, 26.4.18).
    const q = own.chiSquareQuantile(0.975, 2e9);
    expect(own.chiSquareUpper(q, 2e9)).toBeCloseTo(0.025, 9);
    expect(q / 2e9 - 1).toBeCloseTo(1.959964 * Math.sqrt(2 / 2e9), 8);
  });
});
