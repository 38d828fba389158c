import { describe, expect, it } from 'vitest';
import {
  combine,
  cylinderVolumeMl,
  dilutionUncertainty,
  fromHalfWidth,
  type Contribution,
} from '../../packages/estimation/src/budget.js';
import { logLimits } from '../../packages/estimation/src/limits.js';
import { studentQuantile } from '../../packages/estimation/src/special-functions.js';
import { seededDraws } from '../../tools/simulation/draws.js';
import { printed } from './support.js';

const part = (relativeStandardUncertainty: number, degreesOfFreedom: number | null = null): Contribution => ({
  name: 'part',
  relativeStandardUncertainty,
  degreesOfFreedom,
  source: 'stated',
});

describe('JCGM 100:2008, example H.1: end gauge (published: 32 nm, 16 degrees, k 2.92, 93 nm)', () => {
  it('contributions of 25, 9.7, 2.9 and 16.6 nm combined, degrees of freedom cut to a whole number', () => {
    const result = combine([part(25, 18), part(9.7, 25.6), part(2.9, 50), part(16.6, 2)]);
    expect(Math.round(result.relativeStandardUncertainty)).toBe(32);
    expect(result.degreesOfFreedom).toBe(16);
    const k = studentQuantile(0.995, 16);
    expect(k).toBeCloseTo(2.92, 2);
    expect(Math.round(k * result.relativeStandardUncertainty)).toBe(93);
  });
});

describe('JCGM 100:2008, table G.2', () => {
  it.each([
    [0.95, 2.12],
    [0.9545, 2.17],
    [0.99, 2.92],
  ])('t(16) at %f is %f', (level, t) => {
    expect(studentQuantile((1 + level) / 2, 16)).toBeCloseTo(t, 2);
  });
});

describe('larval budget (SciPy 1.10.1)', () => {
  const result = combine([
    part(Math.sqrt(141.3 / 5) / 154.4, 4),
    part(fromHalfWidth(0.02, 'rectangular')),
    part(0.005),
    part(0.002),
    part(fromHalfWidth(0.025, 'triangular')),
  ]);
  const k = studentQuantile(0.975, result.degreesOfFreedom);
  const total = logLimits(154.4 * 10 * 20_000, k * result.relativeStandardUncertainty);
  it('scatter, cell, pipette, flask and tank', () => {
    expect(result.relativeStandardUncertainty).toBeCloseTo(0.0381043, 7);
    expect(result.degreesOfFreedom).toBe(6);
    expect(k).toBeCloseTo(2.44691, 5);
    expect(printed({ ...total, low: total.low / 1e6, high: total.high / 1e6 }, 4)).toEqual([28.131, 33.8977]);
    expect(141.3 / 5 / 154.4 ** 2 / result.relativeStandardUncertainty ** 2).toBeCloseTo(0.8165, 3);
  });
  it('agrees with drawing every source at random (JCGM 101), to 1.5 %: 27.81 to 33.99 million by SciPy 1.10.1', () => {
    const { uniform, normal } = seededDraws(101);
    const mean = 154.4;
    const totals = Array.from({ length: 100_000 }, () => {
      // t of 4 degrees: a normal over the root of a chi-square of 4, which is -2 ln of two uniforms.
      const t4 = normal() / Math.sqrt((-2 * Math.log((1 - uniform()) * (1 - uniform()))) / 4);
      const cell = 1 + 0.02 * (2 * uniform() - 1);
      const tank = 1 + 0.025 * (uniform() + uniform() - 1);
      const counted = mean + t4 * Math.sqrt(141.3 / 5);
      return ((counted / cell) * (10 * (1 + 0.002 * normal())) * 20_000 * tank) / (1 + 0.005 * normal());
    }).sort((a, b) => a - b);
    const drawn = [0.025, 0.975].map((p) => totals[Math.floor(p * totals.length)] / 1e6);
    [27.81, 33.99].forEach((limit, i) => {
      expect(Math.abs(drawn[i] / limit - 1)).toBeLessThan(0.003);
    });
    [total.low, total.high].forEach((limit, i) => {
      expect(Math.abs((drawn[i] * 1e6) / limit - 1)).toBeLessThan(0.015);
    });
  });
  it('one source keeps its degrees of freedom, none has no limit to them', () => {
    expect(combine([part(0.1, 4.5), part(0)])).toEqual({ relativeStandardUncertainty: 0.1, degreesOfFreedom: 4.5 });
    expect(combine([])).toEqual({ relativeStandardUncertainty: 0, degreesOfFreedom: Infinity });
    expect(combine([part(0.1), part(0.1)]).degreesOfFreedom).toBe(Infinity);
  });
  it('half-widths: a/sqrt 3, a/sqrt 6, a/sqrt 2', () => {
    expect(fromHalfWidth(0.02, 'rectangular')).toBeCloseTo(0.011547, 6);
    expect(fromHalfWidth(0.025, 'triangular')).toBeCloseTo(0.010206, 6);
    expect(fromHalfWidth(0.02, 'u-shaped')).toBeCloseTo(0.0141421, 7);
  });
  it('dilution of 10 +/- .05 with 90 +/- .3 added: .00540833', () => {
    expect(dilutionUncertainty(10, { taken: 0.005, other: 0.3 / 90, form: 'added' })).toBeCloseTo(0.00540833, 8);
    expect(dilutionUncertainty(10, { taken: 0.003, other: 0.004, form: 'made-up-to' })).toBeCloseTo(0.005, 12);
    expect(() => dilutionUncertainty(0.5, { taken: 0, other: 0, form: 'added' })).toThrow(
      'to be 1 or more, but got 0.5',
    );
  });
  it('round tank of 30 +/- .15 by 40 +/- .2 cm: 113.0973 L, .0111803', () => {
    const tank = cylinderVolumeMl({ value: 30, standardUncertainty: 0.15 }, { value: 40, standardUncertainty: 0.2 });
    expect(tank.volumeMl / 1000).toBeCloseTo(113.0973, 4);
    expect(tank.relativeStandardUncertainty).toBeCloseTo(0.0111803, 7);
  });
});
