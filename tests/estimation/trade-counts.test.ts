import { describe, expect, it } from 'vitest';
import { estimateCount, type CountEstimate } from '@veligrid/estimation';
import { meanLimits } from '../../packages/estimation/src/mean-limits.js';
import { exact, subsamplesOf } from './support.js';

const codes = (result: { warnings: readonly { code: string }[] }): string[] => result.warnings.map(({ code }) => code);

describe('counts of the trade (public data and notebooks of larval trials; expected limits by SciPy 1.10.1)', () => {
  interface Case {
    readonly name: string;
    readonly counts: number[];
    readonly ml: number;
    readonly container: number;
    readonly total: number;
    readonly poisson?: [number, number];
    readonly x2: number;
    readonly p: number;
  }
  const notebook = 'github laurahspencer/LabNotebook 2017';
  const data = 'github RobertsLab/project-oyster-oa, egg production and hatch rate';
  const cases: Case[] = [
    {
      name: `CV-01, ${notebook}`,
      counts: [78, 65, 66],
      ml: 1,
      container: 50,
      total: 3483,
      poisson: [3027, 3989],
      x2: 1.502,
      p: 0.472,
    },
    {
      name: `CV-02, ${notebook}`,
      counts: [80, 77, 80],
      ml: 0.5,
      container: 300,
      total: 47400,
      poisson: [41557, 53835],
      x2: 0.076,
      p: 0.963,
    },
    {
      name: `CV-03, ${notebook}`,
      counts: [52, 57, 77],
      ml: 0.5,
      container: 300,
      total: 37200,
      poisson: [32046, 42947],
      x2: 5.645,
      p: 0.059,
    },
    {
      name: `CV-04, ${data}`,
      counts: [234, 277, 273],
      ml: 0.02,
      container: 2500,
      total: 32666667,
      poisson: [30419759, 35035621],
      x2: 4.319,
      p: 0.115,
    },
    { name: `CV-06, ${data}`, counts: [247, 288, 293], ml: 0.01, container: 500, total: 13800000, x2: 4.616, p: 0.099 },
    { name: `CV-07, ${data}`, counts: [68, 96, 103], ml: 1, container: 800, total: 71200, x2: 7.71, p: 0.021 },
    { name: `CV-10, ${data}`, counts: [443, 482, 571], ml: 0.2, container: 200, total: 498667, x2: 17.26, p: 0 },
  ];
  it.each(cases)('$name: $counts', ({ counts, ml, container, total, poisson, x2, p }) => {
    const result = estimateCount(exact(subsamplesOf(counts, ml), container));
    expect(Math.round(result.total.estimate)).toBe(total);
    if (poisson)
      expect([result.countingErrorAlone.low, result.countingErrorAlone.high].map(Math.round)).toEqual(poisson);
    expect(result.dispersion.x2).toBeCloseTo(x2, x2 === 7.71 || x2 === 17.26 ? 2 : 3);
    expect(result.dispersion.pUpper).toBeCloseTo(p, 3);
    // The published t limits are linear; ours are on a log scale with a floor and so differ by design.
    expect(result.total.low).toBeLessThanOrEqual(result.countingErrorAlone.low * (1 + 1e-12));
    expect(result.total.high).toBeGreaterThanOrEqual(result.countingErrorAlone.high * (1 - 1e-12));
  });

  it.each([
    ['CV-01', [78, 65, 66], 50, [2585, 4382]],
    ['CV-02', [80, 77, 80], 600, [44818, 49982]],
    ['CV-03', [52, 57, 77], 600, [17483, 56917]],
  ])('%s: the published plain t limits, which ours replace', (_, counts, factor, limits) => {
    const t = meanLimits(counts);
    expect([t?.low, t?.high].map((v) => Math.round((v ?? 0) * factor))).toEqual(limits);
  });

  it('CV-04: 8.0357 mL of the pool hold 7 eggs per mL of 15 L', () => {
    const { densityPerMl } = estimateCount(exact(subsamplesOf([234, 277, 273], 0.02), 2500));
    expect((7 * 15_000) / densityPerMl.estimate).toBeCloseTo(8.0357, 4);
  });

  it('CV-05: a replicate scaled with another volume is told', () => {
    const asFiled = estimateCount(exact(subsamplesOf([204, 326, 256], 0.025), 2500));
    expect(asFiled.total.estimate).toBeCloseTo(26_200_000, 3);
    const right = estimateCount(exact(subsamplesOf([204, 326, 256], [0.05, 0.025, 0.025]), 2500));
    expect(right.total.estimate).toBeCloseTo(19_650_000, 3);
    expect(right.dispersion.x2).toBeCloseTo(194.25, 2);
    expect((7 * 15_000) / right.densityPerMl.estimate).toBeCloseTo(13.3588, 4);
    expect(codes(right)).toEqual(expect.arrayContaining(['replicate-volume', 'heterogeneous']));
    expect(codes(asFiled)).toContain('heterogeneous');
  });

  it('CV-06: a wrong pool volume spoils the total, not the volume to pour; the bucket then shows more than was stocked', () => {
    const pool = (volumeMl: number): CountEstimate =>
      estimateCount(exact(subsamplesOf([247, 288, 293], 0.01), volumeMl));
    const right = pool(500);
    const wanted = 7 * 15_000;
    expect(wanted / right.densityPerMl.estimate).toBeCloseTo(3.804, 3);
    expect(wanted / pool(2500).densityPerMl.estimate).toBeCloseTo(3.804, 3);
    // What was poured: the right share of the total, taken of a pool of 2,500 mL.
    const poured = (wanted / right.total.estimate) * 2500;
    expect(poured).toBeCloseTo(19.0217, 4);
    const eggs = 2 * poured * right.densityPerMl.estimate;
    expect(eggs).toBeCloseTo(1_050_000, 4);
    // One bucket of 15 L then holds 35 per mL.
    const bucket = estimateCount({ ...exact(subsamplesOf([35, 35, 35]), 15_000), stocked: wanted });
    expect(bucket.total.estimate).toBeCloseTo(eggs / 2, 4);
    expect(codes(bucket)).toContain('more-than-stocked');
  });

  it.each([
    ['CV-07', [68, 96, 103], 1, 800, 210_000, 0.339, false],
    ['CV-08', [212, 207, 219], 0.25, 250, 210_000, 1.0127, true],
    ['CV-09', [232, 286, 215], 0.2, 200, 210_000, 1.1635, true],
    ['CV-10', [443, 482, 571], 0.2, 200, 617_647, 0.8074, false],
  ])('%s: D-yield of the eggs, over 100 %% is flagged', (...row) => {
    const [, counts, ml, container, eggs, share, over] = row;
    const result = estimateCount({ ...exact(subsamplesOf(counts, ml), container), eggs });
    expect(result.yieldOfEggs?.estimate).toBeCloseTo(share, share === 0.339 ? 3 : 4);
    expect(codes(result).includes('yield-over-100')).toBe(over);
  });

  it('CV-11: 100 counted in three aliquots of 0.3 mL of 500 mL', () => {
    const input = exact(subsamplesOf([34, 33, 33], 0.3), 500);
    const { total, countingErrorAlone } = estimateCount(input);
    expect(total.estimate).toBeCloseTo(55_555.6, 1);
    expect([countingErrorAlone.low, countingErrorAlone.high].map(Math.round)).toEqual([45_202, 67_570]);
    for (const [counted, want] of [
      [65, 36_111.1],
      [135, 75_000],
      [50, 27_777.8],
    ] as const) {
      expect(estimateCount(exact(subsamplesOf([counted], 0.9), 500)).total.estimate).toBeCloseTo(want, 1);
    }
  });

  it('CV-13: more than was stocked is flagged', () => {
    const result = estimateCount({ ...exact(subsamplesOf([45, 44, 45], 0.3), 501), stocked: 60_000 });
    expect(result.total.estimate).toBeGreaterThan(74_000);
    expect(codes(result)).toContain('more-than-stocked');
  });

  it('CV-14: 4 per mL of 15 L are 60,000; 2 per mL are 30,000', () => {
    expect(estimateCount(exact(subsamplesOf([4]), 15_000)).total.estimate).toBe(60_000);
    expect(estimateCount(exact(subsamplesOf([2]), 15_000)).total.estimate).toBe(30_000);
  });
});
