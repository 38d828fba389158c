import { describe, expect, it } from 'vitest';
import { handTally } from '@veligrid/estimation';
import { equalGametes, fertilisedShare, poolParts } from '@veligrid/hatchery';
import { spermBand } from '@veligrid/imaging';
import { book, codes } from './support.js';

describe('equal shares', () => {
  // by hand: 4,100,000 of each; 450 mL x 4.1/6.2 = 297.58 mL
  it('take as many eggs of each as the one with the fewest gave', () => {
    const shares = equalGametes([
      { animal: 'N-01', ml: 450, number: 6_200_000 },
      { animal: 'N-02', ml: 380, number: 4_100_000 },
    ]);
    expect(shares).toMatchObject({ by: 'number', total: 8_200_000, notCounted: [] });
    expect(shares.parts.map(({ ml }) => ml)).toEqual([expect.closeTo(297.5806, 3), 380]);
    expect(shares.parts.map(({ leftMl }) => leftMl)).toEqual([expect.closeTo(152.4194, 3), 0]);
    expect(shares.parts.map(({ number }) => number)).toEqual([4_100_000, 4_100_000]);
  });
  it('go by mL when one was not counted, and say whose', () => {
    const shares = equalGametes([
      { animal: 'E-17', ml: 30, number: 9e10 },
      { animal: 'E-18', ml: 12, number: null },
    ]);
    expect(shares).toMatchObject({ by: 'volume', total: null, notCounted: ['E-18'], totalMl: 24 });
    expect(shares.parts.map(({ number }) => number)).toEqual([3.6e10, null]);
  });
  it('refuse what nobody measured, and an animal twice', () => {
    expect(() => equalGametes([{ animal: 'E-17', ml: 0, number: 1 }])).toThrow('mL of E-17');
    const one = { animal: 'E-17', ml: 1, number: 1 };
    expect(() => equalGametes([one, one])).toThrow('E-17');
  });
  it('of a pool are never more than there is', () => {
    const parts = poolParts(100, ['a', 'b', 'c']);
    expect(parts.map(({ ml }) => ml)).toEqual([33.3, 33.3, 33.3]);
  });
});

describe('fertilised share', () => {
  const ask = (positive: number, of: number, minutes: number | null = 120) =>
    fertilisedShare(
      { slides: [{ positive: handTally(positive), of: handTally(of) }], minutes, showsAfterMinutes: 60 },
      book,
    );
  // Wilson's limits of 270 in 300 (Wilson 1927; statsmodels proportion_confint gives the same)
  it('of 270 in 300 is 90 %, 86.08 to 92.91', () => {
    const { share, target, warnings } = ask(270, 300);
    expect(share?.estimate).toBe(0.9);
    expect(share?.low).toBeCloseTo(0.8608, 4);
    expect(share?.high).toBeCloseTo(0.9291, 4);
    expect([target, warnings]).toEqual([0.9, []]);
  });
  it('below the target, of few eggs, too early, or of none says so', () => {
    expect(codes(ask(210, 300))).toEqual(['below-target']);
    expect(codes(ask(30, 40))).toEqual(['few-eggs', 'below-target']);
    expect(codes(ask(210, 300, 30))).toEqual(['fertilised-at-least']);
    expect([codes(ask(0, 0)), ask(0, 0).share]).toEqual([['no-eggs'], null]);
  });
});

// Lyu & Allen 1999, J. Shellfish Research 18:459-464, abstract
describe('attached sperm per egg', () => {
  it.each([
    [1, 'below'],
    [2, 'advised'],
    [5, 'advised'],
    [8, 'above'],
    [10, 'above'],
    [12, 'polyspermy'],
  ])('%d is %s', (perEgg, band) => {
    expect(spermBand(perEgg)).toBe(band);
  });
});
