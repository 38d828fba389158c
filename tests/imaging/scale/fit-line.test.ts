import { describe, expect, it } from 'vitest';
import { fitLine, lineUncertainty } from '../../../packages/imaging/src/scale/fit-line.js';
import { withRulingTolerance } from '../../../packages/imaging/src/scale/ruling-tolerance.js';

/** NIST StRD Linear Regression, Norris (36 points, y then x): https://www.itl.nist.gov/div898/strd/lls/data/Norris.shtml */
const NORRIS = `0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3 449.1 448.6
  778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5 10.8 11.6 557.7 556.0
  228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8 339.3 339.1 888.0 887.2 998.5 999.0
  778.9 779.0 10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5`
  .trim()
  .split(/\s+/)
  .map(Number);

/** JCGM 100:2008 (GUM), table H.6: thermometer readings and corrections, degrees Celsius. */
const THERMOMETER = [
  [21.521, -0.171],
  [22.012, -0.169],
  [22.512, -0.166],
  [23.003, -0.159],
  [23.507, -0.164],
  [23.999, -0.165],
  [24.513, -0.156],
  [25.002, -0.157],
  [25.503, -0.159],
  [26.01, -0.161],
  [26.511, -0.16],
] as const;

describe('fitLine', () => {
  it('gives the certified values of NIST Norris to nine figures', () => {
    // the file lists y before x
    const ys = NORRIS.filter((_, k) => k % 2 === 0);
    const xs = NORRIS.filter((_, k) => k % 2 === 1);
    const fit = fitLine(xs, ys);
    expect(fit.points).toBe(36);
    expect(fit.intercept).toBeCloseTo(-0.262323073774029, 9);
    expect(fit.interceptUncertainty).toBeCloseTo(0.232818234301152, 9);
    expect(fit.slope).toBeCloseTo(1.00211681802045, 12);
    expect(fit.slopeUncertainty).toBeCloseTo(0.000429796848199937, 12);
    expect(fit.residualDeviation).toBeCloseTo(0.884796396144373, 9);
  });

  it('gives the calibration line of GUM H.3 with its uncertainties and correlation', () => {
    const fit = fitLine(
      THERMOMETER.map(([t]) => t - 20),
      THERMOMETER.map(([, correction]) => correction),
    );
    // published: y1 -0.1712 (0.0029), y2 0.00218 (0.00067), r -0.930, s 0.0035, b(30) -0.1494 (0.0041)
    expect(fit.intercept).toBeCloseTo(-0.1712, 4);
    expect(fit.interceptUncertainty).toBeCloseTo(0.0029, 4);
    expect(fit.slope).toBeCloseTo(0.00218, 5);
    expect(fit.slopeUncertainty).toBeCloseTo(0.00067, 5);
    expect(fit.correlation).toBeCloseTo(-0.93, 3);
    expect(fit.residualDeviation).toBeCloseTo(0.0035, 4);
    expect(fit.intercept + 10 * fit.slope).toBeCloseTo(-0.1494, 4);
    expect(lineUncertainty(fit, 10)).toBeCloseTo(0.0041, 4);
  });

  it('gives the scale of six ruled lines 1 mm apart, worked by hand', () => {
    const fit = fitLine([0, 1, 2, 3, 4, 5], [12.3, 512.9, 1012.6, 1513.4, 2013.2, 2513.5]);
    // sums: x 15, y 7577.9, xx 17.5 about the mean, xy 8753.85
    expect(fit.slope).toBeCloseTo(500.22, 9);
    expect(fit.residualDeviation).toBeCloseTo(0.2556039, 7);
    expect(fit.slopeUncertainty).toBeCloseTo(0.06110101, 8);
    // Student's t for 95 % and 4 degrees of freedom, 2.776445 (any table)
    expect(fit.slope - 2.776445 * fit.slopeUncertainty).toBeCloseTo(500.0504, 3);
    expect(fit.slope + 2.776445 * fit.slopeUncertainty).toBeCloseTo(500.3896, 3);
    expect(1000 / fit.slope).toBeCloseTo(1.99912, 5);
  });

  it('adds the tolerance of a ruling: 2 um over 5 mm', () => {
    expect(withRulingTolerance(0.06110101 / 500.22, 2, 5000)).toBeCloseTo(0.000261254, 9);
    expect(withRulingTolerance(0.001, 0, 5000)).toBe(0.001);
    expect(() => withRulingTolerance(0.001, -1, 5000)).toThrow('toleranceUm');
  });

  it.each([
    [3, 0.7071068],
    [6, 0.2390457],
    [11, 0.0953463],
    [21, 0.0360375],
  ])(
    'with %i lines the division is certain to %f of the residual: 1 / root of the sum of (i - mean) squared',
    (n, share) => {
      const xs = Array.from({ length: n }, (_, k) => k);
      const fit = fitLine(
        xs,
        xs.map((x) => 10 * x + (x % 2)),
      );
      expect(fit.slopeUncertainty / fit.residualDeviation).toBeCloseTo(share, 6);
    },
  );

  it('refuses places that are all one', () => {
    expect(() => fitLine([2, 2, 2], [1, 2, 3])).toThrow(RangeError);
    expect(() => fitLine([1], [1])).toThrow(RangeError);
  });
});
