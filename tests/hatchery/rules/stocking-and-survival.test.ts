import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dYield, eggPool, stageAtLength, stocking, survival } from '@veligrid/hatchery';
import { loadSpecies } from '@veligrid/imaging';
import { amount, book, codes } from './support.js';

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('egg pool', () => {
  const pool = { densityPerMl: amount(13_000, 0.1), poolMl: 2500 };
  it('mL rise in proportion to volume and to eggs per mL, and fall with the density of the pool', () => {
    fc.assert(
      fc.property(number(1, 1e6), number(0.1, 100), number(0.1, 50), (volumeMl, perMl, k) => {
        const ml = (tank: { volumeMl: number; perMl: number }, density = 13_000): number =>
          eggPool({ densityPerMl: amount(density), poolMl: 1e9, tanks: [{ name: 't', ...tank }] }, book).tanks[0].pourMl
            .estimate;
        const once = ml({ volumeMl, perMl });
        expect(ml({ volumeMl: k * volumeMl, perMl }) / once).toBeCloseTo(k, 9);
        expect(ml({ volumeMl, perMl: k * perMl }) / once).toBeCloseTo(k, 9);
        expect(ml({ volumeMl, perMl }, 13_000 * k) / once).toBeCloseTo(1 / k, 9);
      }),
      { numRuns: 60, seed: 3 },
    );
  });
  it('carries the limits of the pool into the tank', () => {
    const { tanks } = eggPool({ ...pool, tanks: [{ name: 't', volumeMl: 15_000, perMl: 7 }] }, book);
    expect(tanks[0].reachedPerMl).toEqual({
      estimate: expect.closeTo(7, 10) as number,
      low: expect.closeTo(7 / 1.1, 10) as number,
      high: expect.closeTo(7.7, 10) as number,
    });
  });
  it('counts fertilised eggs when their part is given: 80 % ask for 1/0.8 of the mL', () => {
    const tanks = [{ name: 't', volumeMl: 15_000, perMl: 7 }];
    const all = eggPool({ ...pool, tanks }, book);
    const fertilised = eggPool({ ...pool, tanks, fertilisedShare: amount(0.8) }, book);
    expect(fertilised.counted).toBe('fertilised eggs');
    expect(fertilised.tanks[0].pourMl.estimate / all.tanks[0].pourMl.estimate).toBeCloseTo(1.25, 12);
  });
  it('takes the preset where a tank does not say, and tells when the pool is too small', () => {
    const plan = eggPool({ ...pool, tanks: [{ name: 't', volumeMl: 2e6 }] }, book);
    expect(plan.tanks[0].perMl).toBe(20);
    expect(plan.figures.map(({ name }) => name)).toEqual(['hatching.eggs-per-ml']);
    expect(codes(plan)).toEqual(['pool-too-small']);
  });
});

describe('stocking and thinning', () => {
  const tanks = [
    { name: 'T1', volumeMl: 1e6 },
    { name: 'T2', volumeMl: 5e5 },
  ];
  it('shares larvae out in proportion to the room, and says what finds none', () => {
    const plan = stocking({ stage: 'umbo', larvae: amount(9e6, 0.1), tanks }, book);
    expect(plan.tanks.map(({ larvae }) => larvae.estimate)).toEqual([expect.closeTo(4e6, 3), expect.closeTo(2e6, 3)]);
    expect(plan.surplus.estimate).toBeCloseTo(3e6, 3);
    expect(plan.surplus.high).toBeCloseTo(3.9e6, 3);
    expect(codes(plan)).toEqual(['tanks-too-small']);
    expect(plan.neededMl.estimate).toBeCloseTo(9e6 / 4, 6);
  });
  it('thins tank by tank, and warns only beyond the limits', () => {
    const held = (part: number) => [
      { name: 'T1', volumeMl: 1e6, larvae: amount(4.3e6, part) },
      { name: 'T2', volumeMl: 5e5, larvae: amount(1e6) },
    ];
    const sure = stocking({ stage: 'umbo', tanks: held(0.01) }, book);
    expect(sure.tanks.map(({ takeOut }) => takeOut.estimate)).toEqual([expect.closeTo(3e5, 3), 0]);
    expect(codes(sure)).toEqual(['overstocked']);
    expect(codes(stocking({ stage: 'umbo', tanks: held(0.2) }, book))).toEqual([]);
  });
  it('holds less at every later stage', () => {
    const { taper } = stocking({ stage: 'umbo', larvae: amount(1), tanks }, book);
    expect(taper.map(({ stage, holds }) => [stage, holds])).toEqual([
      ['d-larva', 15e6],
      ['umbo', 6e6],
      ['eyed', 2.25e6],
    ]);
  });
  it('refuses larvae given twice, not at all, or a stage without figure', () => {
    const held = [{ name: 'T', volumeMl: 10, larvae: amount(1) }];
    expect(() => stocking({ stage: 'umbo', larvae: amount(1), tanks: held }, book)).toThrow('given once');
    expect(() => stocking({ stage: 'umbo', tanks }, book)).toThrow('Expected larvae to be given');
    expect(() => stocking({ stage: 'pediveliger', larvae: amount(1), tanks }, book)).toThrow(
      'No preset has a figure stocking.pediveliger.per-ml. Known are stocking.d-larva.per-ml',
    );
  });
  it('tells the stage of a mean length by the sizes of the staging preset', async () => {
    const { sizes } = await loadSpecies('eastern-oyster');
    expect([70, 94, 95, 200, 269, 271].map((um) => stageAtLength(sizes, um))).toEqual([
      'd-larva',
      'd-larva',
      'umbo',
      'umbo',
      'umbo',
      'eyed',
    ]);
    expect(stageAtLength((await loadSpecies('hard-clam')).sizes, 215)).toBe('pediveliger');
    expect(stageAtLength([], 200)).toBeNull();
  });
});

describe('survival and balance', () => {
  it('adds back what was taken out and counts in what was put in', () => {
    const plan = survival(
      {
        counts: [
          { day: 0, alive: amount(1000) },
          { day: 2, alive: amount(700), takenOut: 100 },
          { day: 4, alive: amount(900), putIn: 300 },
        ],
        stocked: 1000,
      },
      book,
    );
    expect(plan.intervals.map((one) => one.survival.estimate)).toEqual([
      expect.closeTo(0.8, 12),
      expect.closeTo(0.9, 12),
    ]);
    expect(plan.intervals.map((one) => one.unexplained.estimate)).toEqual([200, 100]);
    expect(plan.overall.survival.estimate).toBeCloseTo(0.72, 12);
    expect(codes(plan)).toEqual([]);
  });
  it('balance: before + put in = taken out + alive + unexplained, for any numbers', () => {
    const whole = fc.integer({ min: 1, max: 1e9 });
    fc.assert(
      fc.property(whole, whole, fc.nat({ max: 1e6 }), fc.nat({ max: 1e6 }), (before, after, takenOut, putIn) => {
        const counts = [
          { day: 1, alive: amount(before, 0.1) },
          { day: 3, alive: amount(after, 0.2), takenOut, putIn },
        ];
        const [one] = survival({ counts }, book).intervals;
        expect(before + putIn - takenOut - after).toBeCloseTo(one.unexplained.estimate, 4);
        expect(one.noMeasurableLoss).toBe(one.unexplained.low <= 0 && one.unexplained.high >= 0);
      }),
      { numRuns: 100, seed: 2 },
    );
  });
  it('a tank that died out has survival 0 and no logarithm', () => {
    const plan = survival(
      {
        counts: [
          { day: 0, alive: amount(1000) },
          { day: 2, alive: { estimate: 0, low: 0, high: 4 } },
        ],
      },
      book,
    );
    expect(plan.overall).toEqual({
      survival: { estimate: 0, low: 0, high: 0.004 },
      survivalPerDay: 0,
      mortalityPerDay: null,
    });
  });
  it('losses beyond the usual bring the caution on drugs, usual ones do not', () => {
    const after = (alive: number) =>
      survival(
        {
          counts: [
            { day: 2, alive: amount(1000) },
            { day: 6, alive: amount(alive, 0.02) },
          ],
        },
        book,
      );
    expect(codes(after(500))).toEqual(['heavy-loss']);
    expect(after(500).cautions.map(({ code }) => code)).toEqual(['fixed-samples', 'drugs-for-food-fish']);
    expect(codes(after(900))).toEqual([]);
    expect(after(900).cautions.map(({ code }) => code)).toEqual(['fixed-samples']);
  });
  it('refuses days that do not rise', () => {
    const counts = [
      { day: 3, alive: amount(5) },
      { day: 3, alive: amount(4) },
    ];
    expect(() => survival({ counts }, book)).toThrow('Expected counts[1].day to be later than the 3');
  });
});

describe('D-yield', () => {
  it('of the eggs and of the fertilised eggs stand side by side, each named', () => {
    const answer = dYield({
      dLarvae: amount(71_200, 0.1),
      of: amount(210_000),
      denominator: 'eggs',
      fertilisedShare: amount(0.9),
    });
    expect(answer.yields.map(({ denominator, share }) => [denominator, share.estimate.toFixed(4)])).toEqual([
      ['eggs', '0.3390'],
      ['fertilised eggs', '0.3767'],
    ]);
    expect(answer.yields[0].share.high).toBeCloseTo((71_200 / 210_000) * 1.1, 10);
  });
  it('over 100 % is shown uncut, and the flag says whether the limits allow 100 %', () => {
    const at = (part: number) => dYield({ dLarvae: amount(110, part), of: amount(100), denominator: 'eggs' });
    expect(at(0.5).yields[0].share.estimate).toBeCloseTo(1.1, 12);
    expect(at(0.5).warnings[0].message).toContain('though the limits allow 100 %');
    expect(at(0.01).warnings[0].message).toContain('beyond the limits');
  });
});
