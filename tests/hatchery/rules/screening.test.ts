import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { figureBook, parseFigures, screenClasses, screening, sieveTable } from '@veligrid/hatchery';
import { fitLogistic } from '../../../packages/hatchery/src/rules/fit-logistic.js';
import { amount, book, codes, shipped } from './support.js';

describe('logistic fit', () => {
  it('beetles of Bliss 1935 by maximum likelihood: -60.717 (5.181), 34.270 (2.912) (R glm; Dobson, table 7.3)', () => {
    const doses = [1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.861, 1.8839];
    const tried = [59, 60, 62, 56, 63, 59, 62, 60];
    const killed = [6, 13, 18, 28, 52, 53, 61, 60];
    const fit = fitLogistic(
      doses,
      killed.map((n, i) => n / tried[i]),
      tried,
    );
    expect(fit?.intercept).toBeCloseTo(-60.717, 3);
    expect(fit?.slope).toBeCloseTo(34.27, 3);
    expect(fit?.interceptSe).toBeCloseTo(5.181, 3);
    expect(fit?.slopeSe).toBeCloseTo(2.912, 3);
    expect(fit?.halfWay).toBeCloseTo(60.717 / 34.27, 4);
    // Delta method: standard error of the half-way dose .003858 (R MASS dose.p, from memory .0038).
    expect(fit?.halfWaySe).toBeCloseTo(0.0039, 3);
  });
  it('finds none when both sides are apart', () => {
    expect(fitLogistic([1, 2, 3, 4], [0, 0, 1, 1], [1, 1, 1, 1])).toBeNull();
  });
});

describe('sieve table of a house', () => {
  /** Larvae spread evenly over lengths, sieved by a curve of half at 180 um and 20 um from a quarter to three quarters. */
  const lengths = Array.from({ length: 400 }, (_, i) => 120 + 0.3 * i);
  const keeps = (um: number): number => 1 / (1 + Math.exp((-2 * Math.log(3) * (um - 180)) / 20));
  let carry = 0;
  const held = lengths.map((um) => {
    carry += keeps(um);
    if (carry < 1) return false;
    carry -= 1;
    return true;
  });
  const kept = lengths.filter((_, i) => held[i]);
  const passed = lengths.filter((_, i) => !held[i]);
  const sample = (list: number[], every: number): number[] => list.filter((_, i) => i % every === 0);

  it('finds the curve again from all lengths', () => {
    const [row] = sieveTable([
      { apertureUm: 150, number: kept.length, lengthsUm: kept },
      { apertureUm: 0, number: passed.length, lengthsUm: passed },
    ]);
    expect(row.l50Um.estimate).toBeCloseTo(180, 0);
    expect(row.l50Um.low).toBeLessThan(180);
    expect(row.l50Um.high).toBeGreaterThan(180);
    expect(Math.abs(row.selectionRangeUm / 20 - 1)).toBeLessThan(0.1);
  });
  it('weights the classes: measuring few of what passed does not move it', () => {
    const classes = (every: number) => [
      { apertureUm: 150, number: kept.length, lengthsUm: kept },
      { apertureUm: 0, number: passed.length, lengthsUm: sample(passed, every) },
    ];
    const [[all], [few]] = [sieveTable(classes(1)), sieveTable(classes(8))];
    expect(Math.abs(few.l50Um.estimate - all.l50Um.estimate)).toBeLessThan(2);
    expect(few.l50Um.high - few.l50Um.low).toBeGreaterThan(all.l50Um.high - all.l50Um.low);
  });
  it('says when kept and passed do not overlap, and leaves out what has too few', () => {
    const rows = sieveTable([
      { apertureUm: 150, number: 10, lengthsUm: [200, 205, 210, 215, 220] },
      { apertureUm: 100, number: 10, lengthsUm: [150, 152, 154, 156, 158] },
      { apertureUm: 0, number: 10, lengthsUm: [100, 101] },
    ]);
    expect(rows).toHaveLength(1);
    expect(rows[0]).toMatchObject({ apertureUm: 150, separate: true, l50Um: { estimate: 179, low: 158, high: 200 } });
    expect(sieveTable([{ apertureUm: 150, number: 1, lengthsUm: [200] }])).toEqual([]);
  });
  it('is used for the screens that it has', () => {
    const sieve = [{ apertureUm: 150, l50Um: amount(180, 0.02), selectionRangeUm: 20 }];
    const plan = screening({ lengthsUm: lengths, screensUm: [120, 150], sieve }, book);
    expect(plan.screens.map(({ basis }) => basis)).toEqual(['geometry', 'own sieve table']);
    expect(plan.screens[1].kept.estimate).toBeCloseTo(kept.length / lengths.length, 2);
    expect(plan.screens[1].kept.low).toBeLessThan(plan.screens[1].kept.estimate);
  });
});

describe('sieve table among the figures of a house', () => {
  const withTable = (half: unknown, range?: unknown) =>
    figureBook(
      [...shipped],
      [
        parseFigures({
          format: 'veligrid-figures-1',
          name: 'our house',
          title: 'Ours',
          version: '2',
          figures: [
            ['screens.sieve-half-kept-um', half],
            ['screens.sieve-range-um', range],
          ]
            .filter(([, value]) => value !== undefined)
            .map(([name, value]) => ({ name, value, unit: 'um', source: 'stacks of May', confidence: 'own' })),
        }),
      ],
    );
  const lengthsUm = [150, 160, 170, 180, 190, 200, 210, 220, 230, 240];
  it('is used where the question gives none, and printed', () => {
    const own = withTable(
      [
        [120, 150],
        [150, 195],
      ],
      [
        [120, 18],
        [150, 20],
      ],
    );
    const plan = screening({ lengthsUm, screensUm: [100, 150] }, own);
    expect(plan.screens.map(({ basis }) => basis)).toEqual(['geometry', 'own sieve table']);
    // Lengths lie evenly around 195 um, of which half are kept.
    expect(plan.screens[1].kept.estimate).toBeCloseTo(0.5, 10);
    expect(plan.figures.map(({ name, preset }) => [name, preset])).toContainEqual([
      'screens.sieve-half-kept-um',
      'our house',
    ]);
    const sieve = [{ apertureUm: 150, l50Um: amount(1000), selectionRangeUm: 20 }];
    expect(screening({ lengthsUm, screensUm: [150], sieve }, own).screens[0].kept.estimate).toBeLessThan(1e-9);
  });
  it('asks for both halves of it', () => {
    expect(() => screening({ lengthsUm }, withTable([[150, 195]]))).toThrow(
      'both given, as points of the same openings',
    );
    expect(() => screening({ lengthsUm }, withTable([[150, 195]], [[120, 20]]))).toThrow('both given');
  });
});

describe('screens', () => {
  const lengthsUm = [142, 151, 160, 166, 171, 175, 180, 184, 190, 197, 203, 211];
  it('by geometry: a shell passes 0.825 of its height, so 150 um keeps those above 181.9 um', () => {
    const plan = screening({ lengthsUm, screensUm: [150] }, book);
    expect(plan.screens[0].kept.estimate).toBeCloseTo(5 / 12, 12);
    expect(codes(plan)).toEqual(['no-screen-keeps', 'screen-not-fitted']);
  });
  it('takes the largest screen that keeps the wanted part', () => {
    const plan = screening({ lengthsUm, screensUm: [180, 100, 120, 150], keepShare: 0.4 }, book);
    expect(plan.screens.map(({ apertureUm }) => apertureUm)).toEqual([100, 120, 150, 180]);
    expect(plan.chosenUm).toBe(150);
  });
  it('numbers kept and lost add up to the larvae, with limits of both', () => {
    const plan = screening({ lengthsUm, screensUm: [150], larvae: amount(4.2e6, 0.1) }, book);
    const { keptNumber, lostNumber } = plan.screens[0];
    expect((keptNumber?.estimate ?? 0) + (lostNumber?.estimate ?? 0)).toBeCloseTo(4.2e6, 3);
    expect(keptNumber?.low).toBeLessThan((keptNumber?.estimate ?? 0) / 1.1);
  });
  it('CV-37: length over height of Perna perna pediveligers 1.124 and 1.074, D-larva 1.326 (Aara2013, DEB data)', () => {
    const ratio = (length: number, height: number): number | null =>
      screening({ lengthsUm: [length], heightsUm: [height] }, book).lengthOverHeight;
    expect(ratio(88.22, 66.54)).toBeCloseTo(1.326, 3);
    expect(ratio(250.14, 222.45)).toBeCloseTo(1.124, 2);
    expect(ratio(278.83, 259.52)).toBeCloseTo(1.074, 3);
  });
  it('a larger screen never keeps more', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 60, max: 340 }), { minLength: 1, maxLength: 40 }), (lengths) => {
        const kept = screening({ lengthsUm: lengths }, book).screens.map((one) => one.kept.estimate);
        expect(kept).toEqual(kept.toSorted((a, b) => b - a));
      }),
      { numRuns: 60, seed: 9 },
    );
  });
  it.each([
    [{ lengthsUm: [] }, 'Expected lengthsUm to be a list of one or more'],
    [{ lengthsUm: [100], heightsUm: [90, 80] }, 'Expected heightsUm to be a list of 1, as long as lengthsUm'],
    [{ lengthsUm: [100], keepShare: 2 }, 'Expected keepShare to be a part above 0'],
  ])('refuses %#', (question, message) => {
    expect(() => screening(question, book)).toThrow(message);
  });
  it('refuses two classes of one screen', () => {
    const row = { apertureUm: 100, number: amount(5) };
    expect(() => screenClasses([row, row])).toThrow('Expected classes to be screens of different openings');
  });
});
