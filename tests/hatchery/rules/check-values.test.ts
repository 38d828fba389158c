import { describe, expect, it } from 'vitest';
import {
  algaeVolumeMl,
  breeders,
  dosingLine,
  dYield,
  effectiveNumber,
  effectiveOfSex,
  eggPool,
  screenClasses,
  setting,
  spatRation,
  stocking,
  survival,
  yieldChain,
} from '@veligrid/hatchery';
import { cellsPerUl, functionalResponse } from '../../../packages/hatchery/src/rules/algae-equivalents.js';
import { allometricHeight } from '../../../packages/hatchery/src/rules/allometry.js';
import { arrheniusFactor } from '../../../packages/hatchery/src/rules/arrhenius.js';
import { exponentBetween, powerAt } from '../../../packages/hatchery/src/rules/curve.js';
import { amount, book, codes, counted } from './support.js';

const DATA = 'public data of a Pacific oyster larval trial 2017, github RobertsLab/project-oyster-oa';

/*
 * Check values of the trade. Those of totals, aliquots and shares alone (CV-01 to CV-03, CV-11, CV-16 to CV-21, CV-39,
 * CV-40) stand in tests/estimation, that of attached sperm (CV-41) in tests/imaging/stage/fertilisation.test.ts.
 */
describe(`eggs and yields (${DATA})`, () => {
  const tank = (name: string, pouredMl?: number) => ({
    name,
    volumeMl: 15_000,
    perMl: 7,
    ...(pouredMl === undefined ? {} : { pouredMl }),
  });

  it('CV-04: 8.0357 mL of the pool for 7 eggs per mL of 15 L', () => {
    const { densityPerMl } = counted([234, 277, 273], 0.02, 2500);
    const plan = eggPool({ densityPerMl, poolMl: 2500, tanks: [tank('a')] }, book);
    expect(plan.pool.eggs.estimate).toBeCloseTo(32_666_666.67, 1);
    expect(plan.tanks[0].pourMl.estimate).toBeCloseTo(8.0357, 4);
    expect(plan.tanks[0].eggs).toBe(105_000);
  });

  it('CV-05: counts scaled with another volume are told, and the right volumes give 13.3588 mL', () => {
    const filed = counted([204, 326, 256], 0.025, 2500);
    expect(codes(filed)).toContain('heterogeneous');
    expect(
      eggPool({ densityPerMl: filed.densityPerMl, poolMl: 2500, tanks: [tank('a')] }, book).tanks[0].pourMl.estimate,
    ).toBeCloseTo(10.0191, 4);
    const right = counted([204, 326, 256], [0.05, 0.025, 0.025], 2500);
    expect(codes(right)).toEqual(expect.arrayContaining(['replicate-volume', 'heterogeneous']));
    const plan = eggPool({ densityPerMl: right.densityPerMl, poolMl: 2500, tanks: [tank('a')] }, book);
    expect(plan.tanks[0].pourMl.estimate).toBeCloseTo(13.3588, 4);
    expect(plan.pool.eggs.estimate).toBeCloseTo(19_650_000, 3);
  });

  it('CV-06: 3.804 mL for a bucket, 7.609 for two; the 19.0217 mL poured of a pool thought larger are told', () => {
    const { densityPerMl } = counted([247, 288, 293], 0.01, 500);
    const plan = eggPool({ densityPerMl, poolMl: 500, tanks: [tank('1', 19.0217), tank('2', 19.0217)] }, book);
    expect(plan.pool.eggs.estimate).toBeCloseTo(13_800_000, 3);
    expect(plan.tanks[0].pourMl.estimate).toBeCloseTo(3.804, 3);
    expect(plan.tanks[0].pourMl.estimate + plan.tanks[1].pourMl.estimate).toBeCloseTo(7.609, 3);
    expect(plan.tanks[0].poured?.perMl.estimate).toBeCloseTo(35, 3);
    expect(codes(plan)).toEqual(['poured-off-target', 'poured-off-target']);
    const fine = eggPool({ densityPerMl, poolMl: 500, tanks: [tank('1', 3.8), tank('2')] }, book);
    expect(codes(fine)).toEqual([]);
  });

  it.each([
    ['CV-07', [68, 96, 103], 1, 800, 210_000, 0.339, 3, false],
    ['CV-08', [212, 207, 219], 0.25, 250, 210_000, 1.0127, 4, true],
    ['CV-09', [232, 286, 215], 0.2, 200, 210_000, 1.1635, 4, true],
    ['CV-10', [443, 482, 571], 0.2, 200, 617_647, 0.8074, 4, false],
  ] as const)('%s: D-yield of %j', (...row) => {
    const [, counts, ml, container, eggs, share, digits, over] = row;
    const answer = dYield({
      dLarvae: counted([...counts], ml, container).total,
      of: amount(eggs),
      denominator: 'eggs',
    });
    expect(answer.yields).toHaveLength(1);
    expect(answer.yields[0].denominator).toBe('eggs');
    expect(answer.yields[0].share.estimate).toBeCloseTo(share, digits);
    expect(codes(answer)).toEqual(over ? ['yield-over-100'] : []);
  });

  it('CV-34: 200 M eggs, 100 M D-larvae, 25 M eyed, 10 M spat (SRAC Publication 4302)', () => {
    const chain = yieldChain(
      [200e6, 100e6, 25e6, 10e6].map((n, i) => ({ name: ['eggs', 'D', 'eyed', 'spat'][i], number: amount(n) })),
    );
    expect(chain.map(({ ofPrevious }) => ofPrevious.estimate)).toEqual([0.5, 0.25, 0.4]);
    expect(chain.at(-1)?.ofFirst.estimate).toBe(0.05);
    const plan = stocking({ stage: 'd-larva', larvae: amount(100e6), tanks: [{ name: 'T', volumeMl: 10e6 }] }, book);
    expect(plan.tanks[0].densityPerMl.estimate).toBeCloseTo(10, 10);
  });
});

describe(`survival (${DATA}; rates by SciPy 1.10.1)`, () => {
  const series = [60_000, 55_555.6, 58_500, 41_600, 34_666.7, 23_306.7, 8_533.3, 9_600, 7_286.7, 1_760];
  const counts = series.map((n, i) => ({ day: 2 * i, alive: amount(n) }));
  const plan = survival({ counts, stocked: 60_000 }, book);

  it('CV-12: part of the first, interval survival, Z and daily survival', () => {
    expect(plan.course.map(({ ofFirst }) => Number((100 * ofFirst.estimate).toFixed(2)))).toEqual([
      100, 92.59, 97.5, 69.33, 57.78, 38.84, 14.22, 16, 12.14, 2.93,
    ]);
    expect(plan.intervals.map((one) => Number(one.survival.estimate.toFixed(4)))).toEqual([
      0.9259, 1.053, 0.7111, 0.8333, 0.6723, 0.3661, 1.125, 0.759, 0.2415,
    ]);
    expect(plan.overall.mortalityPerDay).toBeCloseTo(0.19606, 5);
    expect(plan.overall.survivalPerDay).toBeCloseTo(0.82197, 5);
  });
  it('CV-12: both rises are flagged and shown as they are, no other', () => {
    const rises = plan.warnings.filter(({ code }) => code === 'survival-above-1');
    expect(rises.map(({ message }) => message.split(':')[0])).toEqual(['Day 2 to 4', 'Day 12 to 14']);
  });
  it('CV-12: within the uncertainty of both counts a rise is no measurable loss', () => {
    const unsure = survival(
      { counts: series.slice(1, 3).map((n, i) => ({ day: 2 * i, alive: amount(n, 0.15) })) },
      book,
    );
    expect(codes(unsure)).toEqual(['no-measurable-loss']);
    expect(unsure.intervals[0].noMeasurableLoss).toBe(true);
  });
  it('CV-13: 36,111 to 74,667 in two days of 60,000 stocked', () => {
    const rise = survival(
      {
        counts: [
          { day: 2, alive: amount(36_111.1) },
          { day: 4, alive: amount(74_666.7) },
        ],
        stocked: 60_000,
      },
      book,
    );
    expect(rise.intervals[0].survival.estimate).toBeCloseTo(2.068, 3);
    expect(codes(rise)).toEqual(['more-than-stocked', 'survival-above-1']);
  });
});

describe('stocking (public notebooks of larval trials 2017)', () => {
  it.each([
    ['CV-14', 4, 60_000],
    ['CV-14', 2, 30_000],
  ])('%s: %d per mL of 15 L', (_, perMl, larvae) => {
    const plan = stocking(
      { stage: 'd-larva', perMl, larvae: amount(1), tanks: [{ name: 'b', volumeMl: 15_000 }] },
      book,
    );
    expect(plan.holds).toBe(larvae);
  });
  it('CV-15: 15 L at 8 L/h are exchanged 12.8 times a day and carry 192,000', () => {
    const plan = stocking(
      { stage: 'd-larva', larvae: amount(1), tanks: [{ name: 's', volumeMl: 15_000, flowLitresPerHour: 8 }] },
      book,
    );
    expect(plan.tanks[0].turnoversPerDay).toBeCloseTo(12.8, 10);
    expect(plan.holds).toBeCloseTo(192_000, 6);
  });
});

describe('screen classes (public data of Pacific oyster seed, github grace-ac/paper-pacific.oyster-larvae)', () => {
  it.each([
    [
      'CV-22',
      [
        [315, 54_230],
        [450, 100_603],
        [710, 62_500],
        [1000, 33_750],
      ],
      251_083,
      559.5,
    ],
    [
      'CV-23',
      [
        [315, 65_076],
        [450, 35_770],
      ],
      100_846,
      362.9,
    ],
    [
      'CV-24',
      [
        [450, 39_347],
        [710, 48_000],
        [1000, 42_300],
        [1320, 656],
        [1600, 54_000],
        [2000, 3325],
        [2380, 19_740],
        [3000, 8000],
        [4000, 450],
      ],
      215_818,
      1208.3,
    ],
  ])('%s', (_, rows, total, mesh) => {
    const summary = screenClasses(rows.map(([apertureUm, n]) => ({ apertureUm, number: amount(n) })));
    expect(summary.total.estimate).toBe(total);
    // The source prints 560, 363 and 1,208.
    expect(summary.meanApertureUm).toBeCloseTo(mesh, 1);
    expect(summary.shares.reduce((sum, { share }) => sum + share.estimate, 0)).toBeCloseTo(1, 12);
  });
});

describe('feeding', () => {
  it('CV-25: 7.84 mg of spat (public notebook of 2019): 20 M cells a week and mg, 22.4 M a day', () => {
    const ration = spatRation(7.84, 0.4, 0.02);
    expect(ration.cellsPerMgPerWeek).toBeCloseTo(20e6, 3);
    expect(ration.cellsPerMgPerDay / 1e6).toBeCloseTo(2.857, 3);
    expect(ration.cellsPerDay).toBeCloseTo(22.4e6, 3);
  });
  it('CV-26: 10 mL in 13 s of 5.3e5 cells per mL (same notebook; it rounds to 66,528 mL and 35,260 M)', () => {
    const line = dosingLine(10, 13, 5.3e5);
    expect(line.mlPerSecond).toBeCloseTo(0.769, 3);
    expect(line.cellsPerDay / 1e10).toBeCloseTo(3.52246, 4);
    // The source goes on with 0.77 mL/s.
    expect(0.77 * 60 * 60 * 24).toBeCloseTo(66_528, 6);
    expect(Math.abs(line.cellsPerDay / 35_260e6 - 1)).toBeLessThan(0.002);
  });
  it('CV-27: 1e5 per mL in 113,562 mL from 5e6 (formula of a public notebook of 2018): 2,317.6 mL', () => {
    const input = { targetPerMl: 1e5, culturePerMl: 5e6, volumeMl: 113_562 };
    expect(algaeVolumeMl({ ...input, how: 'added' })).toBeCloseTo(2317.6, 1);
    expect(algaeVolumeMl({ ...input, how: 'topped-up' })).toBeCloseTo(2271.2, 1);
  });
  it('CV-28: food volume to cells at 60 um3 a cell (hal-01510344)', () => {
    expect([70, 500, 1500, 2500, 3500].map((x) => Math.round(cellsPerUl(x, 60)))).toEqual([1, 8, 25, 42, 58]);
  });
  it('CV-29: functional response and temperature (hal-01510344)', () => {
    expect(functionalResponse(1500, 537)).toBeCloseTo(0.7364, 4);
    expect(arrheniusFactor(25, 20, 8355)).toBeCloseTo(0.62, 4);
    expect(arrheniusFactor(25, 30, 8355)).toBeCloseTo(1.5876, 4);
  });
  it('CV-30: ingestion of Pinctada margaritifera (Doroudi et al. 2003) rises with length to the 3.941', () => {
    const points = [
      [89, 8.7 * 24],
      [125, 81 * 24],
      [188, 165.7 * 24],
    ] as const;
    expect(points.map(([um]) => Number(powerAt(points, um).toFixed(6)))).toEqual([208.8, 1944, 3976.8]);
    expect(exponentBetween(points[0], points[2])).toBeCloseTo(3.941, 3);
  });
});

describe('breeders', () => {
  it.each([
    [1, 10, 3.636],
    [10, 100, 36.364],
    [1, 99, 3.96],
    [2, 2, 4],
    [50, 50, 100],
    [50, 100, 133.33],
    [50, 150, 150],
    [50, 200, 160],
    [50, 250, 166.67],
    [50, 300, 171.43],
    [50, 500, 181.82],
  ])('CV-31: %d males and %d females (uconn EEB 310; US FWS broodstock handbook)', (m, f, ne) => {
    expect(Math.abs(effectiveNumber(m, f) - ne)).toBeLessThan(0.005 + 1e-9);
  });
  it('CV-32: 6 sires and 8 dams 13.714 (11.42 by genotype, Li et al. 2009); 4 and 19 13.217', () => {
    expect(effectiveNumber(6, 8)).toBeCloseTo(13.714, 3);
    expect(effectiveNumber(4, 19)).toBeCloseTo(13.217, 3);
  });
  it('CV-33: unequal shares (Lacy 1989)', () => {
    expect(effectiveOfSex([0.4, 0.3, 0.2, 0.1], 'dams')).toBeCloseTo(3.3333, 4);
    expect(effectiveOfSex([0.5, 0.3, 0.2], 'sires')).toBeCloseTo(2.6316, 4);
    const plan = breeders(
      {
        sires: [0.5, 0.3, 0.2].map((share, i) => ({ animal: `M${i}`, share })),
        dams: [0.4, 0.3, 0.2, 0.1].map((share, i) => ({ animal: `F${i}`, share })),
      },
      book,
    );
    expect(plan.effective).toBeCloseTo(5.882, 3);
    expect(codes(plan)).toEqual([]);
  });
  it('CV-42: 45 males x 6 egg pools + 6 x 1 are 276 crosses, 14 x 2 are 28 (public notebook of 2017)', () => {
    const pairings = (sires: number, dams: number) => breeders({ sires, dams }, book).pairings;
    expect(pairings(45, 6) + pairings(6, 1)).toBe(276);
    expect(pairings(14, 2)).toBe(28);
  });
});

describe('setting', () => {
  it.each([
    [0.26, 598_000],
    [0.07, 161_000],
    [0.1, 230_000],
    [0.16, 368_000],
  ])('CV-35: 2.3 M larvae at %d (Steppe et al. 2016)', (efficiency, spat) => {
    const plan = setting({ larvae: amount(2.3e6), efficiency: amount(efficiency), areaM2: 65 }, book);
    expect(plan.expected?.spat.estimate).toBeCloseTo(spat, 6);
    expect(Math.round(plan.larvaePerM2?.estimate ?? 0)).toBe(35_385);
  });
  it('CV-36: 2 M at 10 % on 12,000 shells are 16.67 a shell; 10 a shell need 1.2 M', () => {
    const plan = setting({ larvae: amount(2e6), efficiency: amount(0.1), shells: 12_000, targetPerShell: 10 }, book);
    expect(plan.expected?.spatPerShell?.estimate).toBeCloseTo(16.67, 2);
    expect(plan.needed?.larvae.estimate).toBeCloseTo(1_200_000, 6);
  });
});

describe('shape', () => {
  it('CV-38: H = 0.309 L^1.203 of Chlamys asperrima (Rose & Dix 1984)', () => {
    const line = { factor: 0.309, exponent: 1.203 };
    const heights = [80, 100, 160, 190, 220].map((length) => Number(allometricHeight(length, line).toFixed(2)));
    expect(heights).toEqual([60.17, 78.7, 138.52, 170.33, 203.19]);
  });
});
