import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { breeders, kinships, type PedigreeAnimal } from '@veligrid/hatchery';
import { book, codes } from './support.js';

describe('kinship (Falconer & Mackay 1996, Introduction to Quantitative Genetics, chapter 5)', () => {
  const pedigree: PedigreeAnimal[] = [
    { animal: 'full 1', sire: 'A', dam: 'B' },
    { animal: 'full 2', sire: 'A', dam: 'B' },
    { animal: 'half', sire: 'A', dam: 'C' },
    { animal: 'cousin 1', sire: 'full 1', dam: 'D' },
    { animal: 'cousin 2', sire: 'full 2', dam: 'E' },
    { animal: 'inbred', sire: 'full 1', dam: 'full 2' },
    { animal: 'back', sire: 'A', dam: 'full 1' },
  ];
  const kin = kinships(pedigree);
  it.each([
    ['full 1', 'full 2', 1 / 4],
    ['A', 'full 1', 1 / 4],
    ['full 1', 'half', 1 / 8],
    ['cousin 1', 'cousin 2', 1 / 16],
    ['full 1', 'cousin 2', 1 / 8],
    ['A', 'B', 0],
    ['A', 'A', 1 / 2],
    ['A', 'somebody else', 0],
    ['somebody else', 'somebody else', 1 / 2],
  ])('%s with %s: %d', (a, b, value) => {
    expect(kin.of(a, b)).toBe(value);
  });
  it('offspring of full sibs have F 1/4, of parent and offspring 1/4, and kinship (1 + F)/2 with themselves', () => {
    expect(kin.inbreeding('inbred')).toBe(1 / 4);
    expect(kin.inbreeding('back')).toBe(1 / 4);
    expect(kin.of('inbred', 'inbred')).toBe(5 / 8);
    expect(kin.inbreeding('A')).toBe(0);
  });
  it('repeated full-sib mating: F 0, .25, .375, .5, .594 (Wright 1921, Genetics 6:124; Falconer & Mackay, table 5.1)', () => {
    const lines: PedigreeAnimal[] = [0, 1, 2, 3, 4, 5].flatMap((g) =>
      ['m', 'f'].map((one) => ({ animal: `${one}${g + 1}`, sire: `m${g}`, dam: `f${g}` })),
    );
    const { inbreeding } = kinships(lines);
    expect([1, 2, 3, 4, 5].map((g) => Number(inbreeding(`m${g}`).toFixed(3)))).toEqual([0, 0.25, 0.375, 0.5, 0.594]);
  });
  it('refuses an animal that is its own ancestor, and one that stands twice', () => {
    expect(() =>
      kinships([
        { animal: 'a', sire: 'b' },
        { animal: 'b', dam: 'a' },
      ]),
    ).toThrow('its own ancestor');
    expect(() => kinships([{ animal: 'a' }, { animal: 'a' }])).toThrow('different from each other, but got "a"');
  });
});

describe('laws of kinship for any pedigree', () => {
  const pedigrees = fc.array(fc.tuple(fc.nat(), fc.nat(), fc.boolean()), { minLength: 1, maxLength: 14 }).map((rows) =>
    rows.map(([s, d, known], i): PedigreeAnimal => {
      const parent = (n: number): string | undefined => (i === 0 || !known ? undefined : `a${n % i}`);
      const [sire, dam] = [parent(s), parent(d)];
      return { animal: `a${i}`, ...(sire === undefined ? {} : { sire }), ...(dam === undefined ? {} : { dam }) };
    }),
  );
  it('is symmetric, from 0 to 1, at least 1/2 with itself, and does not depend on the order of the list', () => {
    fc.assert(
      fc.property(pedigrees, (pedigree) => {
        const [one, other] = [kinships(pedigree), kinships(pedigree.toReversed())];
        for (const { animal: a } of pedigree) {
          expect(one.of(a, a)).toBeGreaterThanOrEqual(0.5);
          for (const { animal: b } of pedigree) {
            expect(one.of(a, b)).toBe(one.of(b, a));
            expect(one.of(a, b)).toBe(other.of(a, b));
            expect(one.of(a, b)).toBeGreaterThanOrEqual(0);
            expect(one.of(a, b)).toBeLessThanOrEqual(1);
          }
        }
      }),
      { numRuns: 100, seed: 5 },
    );
  });
});

describe('crosses', () => {
  const pedigree = [
    { animal: 'M1', sire: 'A', dam: 'B' },
    { animal: 'F1', sire: 'A', dam: 'B' },
    { animal: 'F2', sire: 'A', dam: 'C' },
  ];
  const plan = breeders(
    {
      sires: [{ animal: 'M1' }, { animal: 'M2' }],
      dams: [{ animal: 'F1' }, { animal: 'F2' }],
      pedigree,
      proposed: [
        { sire: 'M1', dam: 'F1' },
        { sire: 'M2', dam: 'F1' },
      ],
      tried: [{ sire: 'M2', dam: 'F1' }],
    },
    book,
  );
  it('tells related and tried ones', () => {
    expect(plan.proposed.map(({ kinship, tried }) => [kinship, tried])).toEqual([
      [0.25, false],
      [0, true],
    ]);
    expect(codes(plan)).toEqual(['shares-assumed-equal', 'related-cross', 'tried-before']);
    expect(plan.meanKinship).toBe(0.125);
  });
  it('lists those not tried, the least related first', () => {
    expect(plan.untried?.map(({ sire, dam, kinship }) => [sire, dam, kinship])).toEqual([
      ['M2', 'F2', 0],
      ['M1', 'F2', 0.125],
      ['M1', 'F1', 0.25],
    ]);
  });
  it('the effective number is that of equal shares at most, and adds 1/(2 Ne) of inbreeding', () => {
    expect(plan.effective).toBe(4);
    expect(plan.inbreedingPerGeneration).toBe(0.125);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 900 }), { minLength: 1, maxLength: 20 }), (offspring) => {
        const dams = offspring.map((share, i) => ({ animal: `F${i}`, share }));
        const unequal = breeders({ sires: [{ animal: 'M', share: 1 }], dams }, book);
        expect(unequal.effective).toBeLessThanOrEqual(unequal.asIfEqual * (1 + 1e-12));
      }),
      { numRuns: 100, seed: 6 },
    );
  });
});
