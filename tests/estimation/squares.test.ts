import { describe, expect, it } from 'vitest';
import { bestSquaresPerFilling, nestedSquares } from '../../packages/estimation/src/nested-squares.js';
import { clumpingOf } from '../../packages/estimation/src/negative-binomial.js';
import { dispersionDeviate, dispersionOf } from '../../packages/estimation/src/dispersion.js';
import { meanLimits } from '../../packages/estimation/src/mean-limits.js';
import { chiSquareUpper, fUpper, gammaUpper } from '../../packages/estimation/src/special-functions.js';
import { countDraw, seededDraws } from '../../tools/simulation/draws.js';
import { printed } from './support.js';

/** Counts of squares from how many squares held 0, 1, 2... */
const squares = (...times: number[]): number[] => times.flatMap((n, count) => Array.from({ length: n }, () => count));
const ones = (counts: readonly number[]): number[] => counts.map(() => 1);

describe('Student 1907, yeast in squares of a haemocytometer (data as in R MASS; values by SciPy and R 4.2.2)', () => {
  const yeast = squares(213, 128, 37, 18, 3, 1);
  it('scatter', () => {
    const dispersion = dispersionOf(yeast, ones(yeast));
    expect(dispersion.x2).toBeCloseTo(475.718, 3);
    expect(dispersion.pUpper).toBeCloseTo(0.004908, 6);
    expect(dispersionDeviate(dispersion)).toBeCloseTo(2.6142, 4);
  });
  it('clumping', () => {
    const fit = clumpingOf(yeast);
    expect(fit.mean).toBeCloseTo(0.6825, 10);
    expect(fit.k).toBeCloseTo(3.586087, 5);
    expect(fit.kStandardError).toBeCloseTo(1.7496, 3);
    expect(fit.kByMoments).toBeCloseTo(3.549593, 6);
    expect(fit.kCorrected).toBeCloseTo(3.534091, 6);
  });
  it('does not fit a random spread: X2 10.036 on 2 degrees in classes 0, 1, 2, 3 and more', () => {
    const upTo = [0, 1, 2].map((x) => gammaUpper(x + 1, clumpingOf(yeast).mean));
    const expected = [...upTo, 1].map((p, i) => 400 * (i === 0 ? p : p - upTo[i - 1]));
    [202.141, 137.961, 47.079, 12.819].forEach((value, i) => {
      expect(expected[i]).toBeCloseTo(value, 3);
    });
    const x2 = [213, 128, 37, 22].reduce((sum, seen, i) => sum + (seen - expected[i]) ** 2 / expected[i], 0);
    expect(x2).toBeCloseTo(10.036, 3);
    expect(chiSquareUpper(x2, 2)).toBeCloseTo(0.00662, 5);
  });
});

describe('Bliss and Fisher 1953, mites on leaves (Biometrics 9:176; data as in R VGAM; values by R 4.2.2)', () => {
  const mites = squares(70, 38, 17, 10, 9, 3, 2, 1);
  it('clumping', () => {
    const fit = clumpingOf(mites);
    expect(dispersionOf(mites, ones(mites)).x2).toBeCloseTo(295.442, 3);
    expect(fit.mean).toBeCloseTo(1.146667, 6);
    expect(fit.k).toBeCloseTo(1.024592, 4);
    expect(fit.kStandardError).toBeCloseTo(0.2759, 3);
    expect(fit.kByMoments).toBeCloseTo(1.166697, 6);
    expect(fit.likelihoodRatio).toBeCloseTo(40.7456, 3);
    expect(printed(fit.limits, 5)).toEqual([0.92248, 1.42534]);
    // The plain t limits of the same squares, which are no log limits.
    expect(printed(meanLimits(mites) ?? fit.limits, 5)).toEqual([0.90339, 1.38995]);
  });
});

describe('clumping of small sets (SciPy 1.10.1)', () => {
  it.each([
    [[98, 143, 171, 120, 205, 134], 20.3355],
    [[0, 3, 11, 2, 25, 6, 1, 14], 0.860157],
  ])('%j: k %f', (counts, k) => {
    expect(clumpingOf(counts).k).toBeCloseTo(k, 4);
  });
  it('k has no limit when the scatter is below chance', () => {
    const fit = clumpingOf([154, 148, 161, 139, 170]);
    expect([fit.k, fit.kByMoments, fit.kCorrected, fit.kStandardError]).toEqual([
      Infinity,
      Infinity,
      Infinity,
      Infinity,
    ]);
    expect(fit.likelihoodRatio).toBe(0);
  });
  it('ten squares: X2 5.0 on 9 degrees, p .8343', () => {
    const { x2, df, pUpper } = dispersionOf(
      [12, 15, 9, 14, 11, 13, 10, 12, 16, 8],
      Array.from({ length: 10 }, () => 1),
    );
    expect(x2).toBeCloseTo(5, 10);
    expect(df).toBe(9);
    expect(pUpper).toBeCloseTo(0.8343, 4);
  });
  it('refuses one square, and nothing counted', () => {
    expect(() => clumpingOf([3])).toThrow('two or more squares with something counted');
    expect(() => clumpingOf([0, 0])).toThrow('two or more squares with something counted');
  });
});

describe('the test of scatter is too weak to switch clumping off', () => {
  it.each([
    [5, 0.43],
    [3, 0.3],
  ])(
    '%d subsamples of 150 at a CV of 10 %%: finds it in %f of samples only (simulated with NumPy 1.24.2)',
    (n, power) => {
      const draws = seededDraws(n);
      let found = 0;
      for (let sample = 0; sample < 4000; sample += 1) {
        const counts = Array.from({ length: n }, () => countDraw(150, 0.1, draws));
        if (dispersionOf(counts, ones(counts)).pUpper < 0.05) found += 1;
      }
      // Three standard errors of 4000 samples and the rounding of the source.
      expect(Math.abs(found / 4000 - power)).toBeLessThan(3 * Math.sqrt((power * (1 - power)) / 4000) + 0.005);
    },
  );
});

describe('squares in fillings', () => {
  it('Davies and Goldsmith, dyestuff of 6 batches (data as in R lme4; values by SciPy 1.10.1)', () => {
    const dyestuff = nestedSquares([
      [1545, 1440, 1440, 1520, 1580],
      [1540, 1555, 1490, 1560, 1495],
      [1595, 1550, 1605, 1510, 1560],
      [1445, 1440, 1595, 1465, 1545],
      [1595, 1630, 1515, 1635, 1625],
      [1520, 1455, 1450, 1480, 1445],
    ]);
    expect(dyestuff.between).toBeCloseTo(11271.5, 8);
    expect(dyestuff.within).toBeCloseTo(2451.25, 8);
    expect(dyestuff.fillingVariance).toBeCloseTo(1764.05, 8);
    expect(dyestuff.mean.estimate).toBe(1527.5);
    expect(dyestuff.standardError).toBeCloseTo(19.38341, 5);
    expect(printed(dyestuff.mean, 3)).toEqual([1477.673, 1577.327]);
  });
  it('four fillings of five squares (SciPy 1.10.1)', () => {
    const nested = nestedSquares([
      [12, 9, 14, 11, 10],
      [18, 15, 20, 13, 17],
      [8, 11, 9, 7, 12],
      [14, 16, 12, 15, 11],
    ]);
    expect(nested.mean.estimate).toBeCloseTo(12.7, 10);
    expect(nested.between).toBeCloseTo(48.6, 8);
    expect(nested.within).toBeCloseTo(4.9, 8);
    expect(nested.fillingVariance).toBeCloseTo(8.74, 8);
    expect(nested.standardError).toBeCloseTo(1.558846, 6);
    expect(nested.f).toBeCloseTo(9.918367, 6);
    expect(fUpper(nested.f, 3, 16)).toBeLessThan(0.001);
    expect(printed(nested.mean, 3)).toEqual([7.739, 17.661]);
    expect(bestSquaresPerFilling(nested, { filling: 5, square: 0.2 })).toBeCloseTo(3.744, 3);
    expect(bestSquaresPerFilling(nested, { filling: 5, square: 0.5 })).toBeCloseTo(2.368, 3);
  });
  it('refuses fillings with different numbers of squares', () => {
    expect(() => nestedSquares([[1, 2], [1]])).toThrow('two or more with the same number of squares');
  });
});
