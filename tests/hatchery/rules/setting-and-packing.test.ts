import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packing, readiness, setting } from '@veligrid/hatchery';
import { doublesPart, spatPerGrainFor } from '../../../packages/hatchery/src/rules/microcultch.js';
import { amount, book, codes } from './support.js';

describe('setting', () => {
  it('larvae for a target and spat of those larvae are each other turned round', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.integer({ min: 1, max: 50 }),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (shells, targetPerShell, part) => {
          const efficiency = amount(part);
          const { needed } = setting({ shells, targetPerShell, efficiency }, book);
          const back = setting({ shells, larvae: needed?.larvae ?? amount(1), efficiency }, book);
          expect(back.expected?.spatPerShell?.estimate).toBeCloseTo(targetPerShell, 8);
        },
      ),
      { numRuns: 80, seed: 21 },
    );
  });
  it('low efficiency asks for more larvae: limits turn round', () => {
    const { needed } = setting(
      { shells: 1000, targetPerShell: 10, efficiency: { estimate: 0.1, low: 0.05, high: 0.2 } },
      book,
    );
    expect(needed?.larvae).toEqual({
      estimate: expect.closeTo(100_000, 6) as number,
      low: expect.closeTo(50_000, 6) as number,
      high: expect.closeTo(200_000, 6) as number,
    });
    expect(needed?.perBag.estimate).toBeCloseTo(27_500, 6);
  });
  it('bags and bushels are shells', () => {
    const shells = (cultch: object) => setting({ larvae: amount(1), ...cultch }, book).cultch?.shells;
    expect(shells({ bags: 4 })).toBe(1100);
    expect(shells({ bags: 4, shellsPerBag: 300 })).toBe(1200);
    expect(shells({ bushels: 2 })).toBe(1200);
    expect(() => setting({ larvae: amount(1), bags: 2, shells: 3 }, book)).toThrow('given once');
    expect(() => setting({}, book)).toThrow('Expected larvae to be given, or the cultch');
  });
  it('four own sets (Steppe et al. 2016: 26, 7, 10, 16 %): geometric mean 13.1 %, t limits of the next', () => {
    const ownSets = [598, 161, 230, 368].map((spat) => ({ larvae: amount(2300), spat: amount(spat) }));
    const { efficiency } = setting({ larvae: amount(1e6), ownSets }, book);
    const logs = [0.26, 0.07, 0.1, 0.16].map(Math.log);
    const mean = logs.reduce((a, b) => a + b, 0) / 4;
    const sd = Math.sqrt(logs.reduce((sum, x) => sum + (x - mean) ** 2, 0) / 3);
    expect(efficiency.share.estimate).toBeCloseTo(Math.exp(mean), 10);
    // t(.975, 3) = 3.182446 (table).
    expect(efficiency.share.high / efficiency.share.estimate).toBeCloseTo(Math.exp(3.182446 * sd * Math.sqrt(1.25)), 4);
  });
  it('the preset has wide limits and says so', () => {
    const plan = setting({ larvae: amount(1e6) }, book);
    expect(plan.efficiency).toEqual({ share: { estimate: 0.15, low: 0.07, high: 0.4 }, basis: 'preset' });
    expect(codes(plan)).toEqual(['efficiency-preset']);
    expect(plan.figures.map(({ name }) => name)).toContain('setting.efficiency.high');
  });
  it('tells more spat than larvae, and too few larvae', () => {
    const ownSets = [{ larvae: amount(100), spat: amount(120) }];
    expect(codes(setting({ larvae: amount(1e6), ownSets }, book))).toEqual(['efficiency-over-100']);
    const few = setting({ larvae: amount(1e4), shells: 1e4, efficiency: amount(0.1) }, book);
    expect(codes(few)).toEqual(['too-few-larvae']);
  });
  it('microcultch: at one spat a grain 1 - e^-1/(1 - e^-1) = 41.8 % of grains with spat carry more (Poisson)', () => {
    expect(doublesPart(1)).toBeCloseTo(0.41802, 5);
    expect(doublesPart(spatPerGrainFor(0.05))).toBeCloseTo(0.05, 10);
    const plan = setting(
      { larvae: amount(1e6), efficiency: amount(0.1), microcultch: { grams: 100, grainsPerGram: 1000 } },
      book,
    );
    expect(plan.microcultch?.spatPerGrain.estimate).toBeCloseTo(1, 12);
    expect(codes(plan)).toEqual(['too-little-microcultch']);
    const enough = plan.microcultch?.gramsForMostDoubles ?? 0;
    const more = setting(
      { larvae: amount(1e6), efficiency: amount(0.1), microcultch: { grams: enough * 1.001, grainsPerGram: 1000 } },
      book,
    );
    expect(codes(more)).toEqual([]);
  });
});

describe('packing', () => {
  it('by count: 5.6 M in 4 L, a million in 714 mL', () => {
    const plan = packing({ by: 'count', larvae: amount(5.6e6, 0.1), suspensionMl: 4000, perPackage: 1e6 }, book);
    expect(plan.perPackage).toBeCloseTo(4000 / 5.6, 9);
    expect(plan.packages).toEqual({ estimate: 5, low: 5, high: 6 });
    expect(plan.larvaePerPackage.low).toBeCloseTo(1e6 / 1.1, 3);
    expect(plan.perPackageForSure).toBeCloseTo((4000 * 1.1) / 5.6, 6);
    expect(plan.left.estimate).toBeCloseTo(6e5, 3);
  });
  it('by weight: of a counted sample; by volume: of a counted sample or the preset, which is told', () => {
    const sample = { larvae: amount(30_000, 0.1), grams: 1, ml: 1 };
    expect(packing({ by: 'weight', larvae: amount(5.6e6), perPackage: 1e6, sample }, book).perPackage).toBeCloseTo(
      1e6 / 30_000,
      9,
    );
    expect(codes(packing({ by: 'volume', larvae: amount(5.6e6), perPackage: 1e6, sample }, book))).toEqual([]);
    expect(codes(packing({ by: 'volume', larvae: amount(5.6e6), perPackage: 1e6 }, book))).toEqual([
      'preset-packed-volume',
    ]);
    expect(() => packing({ by: 'weight', larvae: amount(1), perPackage: 1 }, book)).toThrow('sample.grams');
    expect(() => packing({ by: 'count', larvae: amount(1), perPackage: 1 }, book)).toThrow('suspensionMl');
  });
  it('more than 8 days underway is told (Henderson 1983), and cautions stand once each', () => {
    const days = (daysUnderway: number) =>
      packing({ by: 'count', larvae: amount(5), suspensionMl: 1, perPackage: 1, daysUnderway }, book);
    expect(codes(days(9))).toEqual(['too-long-underway']);
    expect(codes(days(8))).toEqual([]);
    expect(days(8).cautions.map(({ code }) => code)).toEqual(['moving-live-animals', 'estimate-not-certificate']);
  });
  it('more packages than larvae are told', () => {
    const plan = packing({ by: 'count', larvae: amount(5.6e6), suspensionMl: 1, perPackage: 1e6, packages: 6 }, book);
    expect(codes(plan)).toEqual(['too-few-larvae']);
    expect(plan.left.estimate).toBe(0);
  });
});

describe('readiness', () => {
  // Means of docs/statistics.md; days to 290 um by SciPy 1.10.1: 17.5567 (16.6057 to 18.7016), exponential 15.3215.
  const days = [2, 4, 6, 8, 10, 12, 14];
  const lengthsUm = [82, 101, 126, 152, 181, 214, 247];
  it('gives every model and the whole window, new samples included (16.1589 to 19.1485 by line)', () => {
    const plan = readiness({ days, lengthsUm, settingLengthUm: 290, sdUm: 20, temperatureC: 27 }, book);
    const linear = plan.models.find(({ model }) => model === 'linear');
    expect(linear?.dayToTarget?.estimate).toBeCloseTo(17.5567, 4);
    expect(plan.window?.latestDay).toBeCloseTo(19.1485, 3);
    expect(plan.window?.earliestDay).toBeLessThan(14.6923);
    expect(plan.targetMeanUm).toBe(290);
  });
  it('80 % above 290 with an SD of 25 asks for a mean of 290 + .8416 x 25', () => {
    const plan = readiness({ days, lengthsUm, settingLengthUm: 290, sdUm: 25, shareAbove: 0.8 }, book);
    expect(plan.targetMeanUm).toBeCloseTo(290 + 0.841621 * 25, 4);
  });
  it('gives no day from two dates or too far ahead, but the days of the species band', () => {
    const early = readiness({ days: [2, 4], lengthsUm: [70, 95], sdUm: 5, temperatureC: 27 }, book);
    expect(early.window).toBeNull();
    expect(codes(early)).toEqual(['no-forecast']);
    expect(early.band.fastDay).toBeLessThan(early.band.slowDay ?? 0);
    const far = readiness({ days: [2, 4, 6], lengthsUm: [70, 95, 120], sdUm: 5, temperatureC: 27 }, book);
    expect(far.window).toBeNull();
  });
  it('says ready now only when the limits are above, and carries eyed larvae with theirs', () => {
    const today = (above: number) => [...Array<number>(above).fill(320), ...Array<number>(40 - above).fill(280)];
    const at = (above: number) =>
      readiness(
        { days, lengthsUm, lengthsTodayUm: today(above), eyedShare: amount(0.2, 0.5), larvae: amount(1e6, 0.1) },
        book,
      );
    expect(codes(at(36))).toContain('ready-now');
    expect(codes(at(22))).not.toContain('ready-now');
    expect(at(22).eyed?.number?.estimate).toBe(200_000);
    expect(at(22).eyed?.number?.high).toBeCloseTo(200_000 * Math.exp(Math.hypot(Math.log(1.5), Math.log(1.1))), 3);
  });
});
