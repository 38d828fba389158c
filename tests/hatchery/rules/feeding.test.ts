import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { algaeVolumeMl, feedSheet, ration, type FeedSheetQuestion } from '@veligrid/hatchery';
import { cellEquivalent } from '../../../packages/hatchery/src/rules/algae-equivalents.js';
import { mixVolumesMl } from '../../../packages/hatchery/src/rules/algae-mix.js';
import { shareOut } from '../../../packages/hatchery/src/rules/share-out.js';
import { amount, book, codes } from './support.js';

describe('mL of algae', () => {
  const volume = { targetPerMl: 40_000, leftPerMl: 9_000, culturePerMl: 6e6, volumeMl: 1e6 } as const;
  it('added on top the tank then holds the target: cells before and added over the larger volume', () => {
    const ml = algaeVolumeMl({ ...volume, how: 'added' });
    expect((9_000 * 1e6 + ml * 6e6) / (1e6 + ml)).toBeCloseTo(40_000, 6);
  });
  it('topped up: (target - left) x final volume over the culture', () => {
    expect(algaeVolumeMl({ ...volume, how: 'topped-up' })).toBeCloseTo((31_000 * 1e6) / 6e6, 9);
  });
  it('is refused when the culture is not above the target', () => {
    for (const culturePerMl of [40_000, 39_999]) {
      expect(() => algaeVolumeMl({ ...volume, culturePerMl, how: 'added' })).toThrow(
        `The culture has ${culturePerMl} cells per mL, not more than the 40000 wanted in the tank`,
      );
    }
    expect(algaeVolumeMl({ ...volume, culturePerMl: 40_001, how: 'topped-up' })).toBeGreaterThan(0);
  });
  it('is 0 when enough is left', () => {
    expect(algaeVolumeMl({ ...volume, leftPerMl: 40_000, how: 'added' })).toBe(0);
  });
  it('a mix of one is the same; any mix reaches the target and keeps its shares', () => {
    const positive = (max: number) => fc.double({ min: 1, max, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(positive(1e7), fc.integer({ min: 1, max: 9 })), { minLength: 1, maxLength: 4 }),
        positive(1e5),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (cultures, targetPerMl, left) => {
          const all = cultures.reduce((sum, [, share]) => sum + share, 0);
          const parts = cultures.map(([perMl, share], i) => ({
            name: `c${i}`,
            equivalentsPerMl: perMl + targetPerMl,
            share: share / all,
          }));
          const question = { targetPerMl, leftPerMl: left * targetPerMl, volumeMl: 1000, how: 'added' } as const;
          const ml = mixVolumesMl(parts, question) ?? [];
          const cells = parts.map(({ equivalentsPerMl }, i) => equivalentsPerMl * ml[i]);
          const food = cells.reduce((a, b) => a + b, 0);
          const reached = (question.leftPerMl * 1000 + food) / (1000 + ml.reduce((a, b) => a + b, 0));
          expect(reached / targetPerMl).toBeCloseTo(1, 9);
          if (food > 1) for (const [i, part] of parts.entries()) expect(cells[i] / food).toBeCloseTo(part.share, 9);
          if (parts.length === 1) {
            expect(
              Math.abs(ml[0] - algaeVolumeMl({ ...question, culturePerMl: parts[0].equivalentsPerMl })),
            ).toBeLessThanOrEqual(1e-9 * ml[0]);
          }
        },
      ),
      { numRuns: 100, seed: 4 },
    );
  });
});

describe('equivalents by organic weight (FAO 471 / MAFF 68, from memory)', () => {
  it.each([
    ['tetraselmis-suecica', 10, 0],
    ['thalassiosira-pseudonana', 1, 0],
    ['chaetoceros-calcitrans', 0.35, 2],
  ])('one %s is about %d T-Iso', (alga, tIso, digits) => {
    expect(cellEquivalent(alga, 'weight', book).tIso).toBeCloseTo(tIso, digits);
  });
  it('a 10 % larger cell has 33 % more volume: by volume Tetraselmis is 300/45', () => {
    expect(cellEquivalent('tetraselmis-suecica', 'volume', book).tIso).toBeCloseTo(300 / 45, 12);
    expect(cellEquivalent('tetraselmis-suecica', 'cells', book).tIso).toBe(1);
  });
  it('an unknown alga is named with those that are known', () => {
    expect(() => cellEquivalent('spirulina', 'weight', book)).toThrow(
      'No preset has a figure algae.spirulina.organic-weight-pg. Known are algae.isochrysis-galbana',
    );
  });
});

describe('ration of a tank', () => {
  const tank = {
    stage: 'umbo',
    larvae: amount(4e6),
    volumeMl: 1e6,
    cultures: [{ name: 'c', alga: 't-iso', cellsPerMl: amount(6e6) }],
  };
  it('shows cells per mL and cells for one larva: 40,000 x 1,000,000 mL / 4,000,000 larvae = 10,000', () => {
    const plan = ration({ ...tank, meanLengthUm: 180 }, book);
    expect(plan.targetCellsPerMl).toBe(40_000);
    expect(plan.cellsPerLarvaPerDay.estimate).toBe(10_000);
    expect(plan.presetPerLarvaPerDay).toBeCloseTo(10_000, 6);
    expect(codes(plan)).toEqual([]);
  });
  it.each([
    [1.9e6, true],
    [2.1e6, false],
    [7.9e6, false],
    [8e6, false],
    [8.1e6, true],
  ])('%d larvae: both views more than twice apart is told: %s', (larvae, told) => {
    const plan = ration({ ...tank, larvae: amount(larvae), meanLengthUm: 180 }, book);
    expect(codes(plan)).toEqual(told ? ['views-differ'] : []);
  });
  it('a target by larva or by food volume sets the other', () => {
    expect(ration({ ...tank, cellsPerLarvaPerDay: 5000 }, book).targetCellsPerMl).toBe(20_000);
    expect(ration({ ...tank, targetBiovolumeUm3PerUl: 900 }, book).targetCellsPerMl).toBeCloseTo(20_000, 9);
  });
  it('carries the limits of the culture and of the larvae', () => {
    const cultures = [{ name: 'c', alga: 't-iso', cellsPerMl: amount(6e6, 0.1) }];
    const plan = ration({ ...tank, larvae: amount(4e6, 0.2), cultures }, book);
    expect(plan.doses[0].ml.high / plan.doses[0].ml.estimate).toBeCloseTo(1.1, 2);
    expect(plan.cellsPerLarvaPerDay.low).toBeCloseTo(10_000 / 1.2, 6);
  });
  it('judges what is left, keeps Tetraselmis from small larvae, and refuses a thin culture', () => {
    const left = (part: number) =>
      codes(ration({ ...tank, leftCellsPerMl: part * 40_000, lastTargetCellsPerMl: 40_000 }, book));
    expect(left(0.2)).toEqual(['little-left']);
    expect(left(0.4)).toEqual([]);
    expect(left(0.6)).toEqual(['much-left']);
    expect(left(1)).toEqual(['enough-left', 'much-left']);
    const large = [{ name: 'T', alga: 'tetraselmis-suecica', cellsPerMl: amount(1e6) }];
    expect(codes(ration({ ...tank, cultures: large, meanLengthUm: 119 }, book))).toContain('alga-too-large');
    expect(codes(ration({ ...tank, cultures: large, meanLengthUm: 121 }, book))).not.toContain('alga-too-large');
    const thin = [{ name: 'weak', alga: 't-iso', cellsPerMl: amount(40_000) }];
    expect(() => ration({ ...tank, cultures: thin }, book)).toThrow(
      'The culture weak has not more than the 40,000 cells',
    );
  });
});

describe('feed sheet', () => {
  const sheet: FeedSheetQuestion = {
    tanks: [
      { name: 'T1', volumeMl: 1e6, targetCellsPerMl: 30_000 },
      { name: 'T2', volumeMl: 5e5, targetCellsPerMl: 60_000 },
    ],
    cultures: [{ name: 'c', alga: 't-iso', cellsPerMl: amount(6e6), litres: 5 }],
  };
  const asked = [(1e6 * 30_000) / (6e6 - 30_000), (5e5 * 60_000) / (6e6 - 60_000)];

  it('shares scarce culture in equal parts and names who runs short', () => {
    const plan = feedSheet(sheet, book);
    const part = 5000 / (asked[0] + asked[1]);
    expect(plan.tanks.map(({ doses }) => doses[0].givenMl / doses[0].askedMl)).toEqual([
      expect.closeTo(part, 3),
      expect.closeTo(part, 3),
    ]);
    expect(plan.cultures[0].runShort).toEqual(['T1', 'T2']);
    expect(codes(plan)).toEqual(['culture-short', 'tank-short', 'tank-short']);
    expect(plan.warnings[0].message).toContain('Short: T1, T2.');
    expect(plan.sharingInWords).toContain('same part');
  });
  it('or feeds in the order of the list', () => {
    const plan = feedSheet({ ...sheet, cultures: [{ ...sheet.cultures[0], litres: 6 }], sharing: 'in-order' }, book);
    expect(plan.tanks[0].partOfTarget).toBeGreaterThan(0.999);
    expect(plan.cultures[0].runShort).toEqual(['T2']);
  });
  it('gives all what they ask for when there is enough', () => {
    const plan = feedSheet({ ...sheet, cultures: [{ ...sheet.cultures[0], litres: 50 }] }, book);
    expect(plan.tanks.map(({ doses }) => doses[0].givenMl)).toEqual([
      expect.closeTo(asked[0], 6),
      expect.closeTo(asked[1], 6),
    ]);
    expect(plan.tanks.map(({ partOfTarget }) => partOfTarget)).toEqual([expect.closeTo(1, 9), expect.closeTo(1, 9)]);
    expect(codes(plan)).toEqual([]);
  });
  it('a culture that is too thin is told and not poured', () => {
    const plan = feedSheet(
      { ...sheet, cultures: [{ ...sheet.cultures[0], cellsPerMl: amount(50_000), litres: 5000 }] },
      book,
    );
    expect(codes(plan)).toEqual(['culture-too-thin']);
    expect(plan.tanks[1].doses).toEqual([]);
  });
  it('refuses a mix of a culture that is not there', () => {
    const tanks = [{ ...sheet.tanks[0], mix: [{ culture: 'other' }] }];
    expect(() => feedSheet({ ...sheet, tanks }, book)).toThrow('Expected the mix of T1 to be one of the cultures c');
  });

  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  const sheets: fc.Arbitrary<FeedSheetQuestion> = fc.record({
    tanks: fc
      .array(
        fc.record({
          volumeMl: number(100, 1e7),
          targetCellsPerMl: number(1000, 1e5),
          leftCellsPerMl: number(0, 2e5),
          how: fc.constantFrom('added' as const, 'topped-up' as const),
          meanLengthUm: number(60, 330),
        }),
        { minLength: 1, maxLength: 8 },
      )
      .map((tanks) => tanks.map((tank, i) => ({ ...tank, name: `T${i}` }))),
    cultures: fc
      .array(
        fc.record({
          alga: fc.constantFrom('t-iso', 'tetraselmis-suecica', 'chaetoceros-calcitrans'),
          cellsPerMl: number(1e4, 2e7).map((perMl) => amount(perMl, 0.1)),
          litres: number(0, 60),
        }),
        { minLength: 1, maxLength: 4 },
      )
      .map((cultures) => cultures.map((one, i) => ({ ...one, name: `c${i}` }))),
    sharing: fc.constantFrom('equal-parts' as const, 'in-order' as const),
  });
  it('never hands out more than there is, nor more than a tank asked, and names every tank that got less', () => {
    fc.assert(
      fc.property(sheets, (question) => {
        const plan = feedSheet(question, book);
        for (const culture of plan.cultures) {
          const doses = plan.tanks.flatMap(({ name, doses: all }) =>
            all.filter((one) => one.culture === culture.name).map((one) => ({ ...one, tank: name })),
          );
          expect(doses.reduce((sum, { givenMl }) => sum + givenMl, 0)).toBeLessThanOrEqual(culture.litres * 1000);
          expect(culture.leftMl).toBeGreaterThanOrEqual(0);
          for (const { givenMl, askedMl } of doses) expect(givenMl).toBeLessThanOrEqual(askedMl);
          expect(culture.runShort).toEqual(
            doses.filter(({ givenMl, askedMl }) => givenMl < askedMl).map(({ tank }) => tank),
          );
        }
      }),
      { numRuns: 200, seed: 11 },
    );
  });
  it('shareOut: sums never exceed, also not by rounding', () => {
    fc.assert(
      fc.property(
        fc.array(number(0, 1e6), { minLength: 1, maxLength: 30 }),
        number(0, 1e6),
        fc.constantFrom('equal-parts' as const, 'in-order' as const),
        (wanted, thereIs, sharing) => {
          const given = shareOut(wanted, thereIs, sharing);
          expect(given.reduce((a, b) => a + b, 0)).toBeLessThanOrEqual(thereIs);
        },
      ),
      { numRuns: 300, seed: 12 },
    );
  });
});
