import { describe, expect, it } from 'vitest';
import { correctedNumber, trueShare, trueStages } from '@veligrid/estimation';
import { printed } from './support.js';

it('1240 finds, 186 of 200 right, 141 of 150 found: 1226.81 (1160.57 to 1296.82), u .0283174 (SciPy 1.10.1)', () => {
  const number = correctedNumber(1240, { rightFinds: { right: 186, of: 200 }, foundAnimals: { right: 141, of: 150 } });
  expect(number.estimate).toBeCloseTo(1226.81, 2);
  expect(number.relativeStandardUncertainty).toBeCloseTo(0.0283174, 7);
  expect(printed(number, 2)).toEqual([1160.57, 1296.82]);
  const none = { right: 0, of: 9 };
  expect(() => correctedNumber(5, { rightFinds: none, foundAnimals: { right: 1, of: 2 } })).toThrow(
    'Expected the checks to be at least one right in each, but got 0',
  );
});

describe('share of a trait that is told with errors', () => {
  it.each([
    // R epiR, help of epi.prev (published): estimate and limits.
    [23, 150, 0.96, 0.89, 0.051, 0, 0.13],
    [6, 151, 0.964, 0.927, 0, 0, 0.013],
  ])('%d of %d, known sensitivity %f and specificity %f', (...row) => {
    const [right, of, se, sp, estimate, low, high] = row;
    const share = trueShare({ right, of }, { seen: { known: se }, spared: { known: sp } });
    expect(share.estimate).toBeCloseTo(estimate, 3);
    expect(share.low).toBeCloseTo(low, 2);
    expect(share.high).toBeCloseTo(high, high === 0.13 ? 2 : 3);
  });
  const tried = { seen: { right: 54, of: 60 }, spared: { right: 147, of: 150 } };
  it('30 of 200 with .9 of 60 and .98 of 150: .147727, error .03143, .08747 to .21679 (Lang and Reiczigel 2014)', () => {
    const share = trueShare({ right: 30, of: 200 }, tried);
    expect(share.estimate).toBeCloseTo(0.147727, 6);
    expect(share.standardError).toBeCloseTo(0.03143, 5);
    expect(printed(share, 5)).toEqual([0.08747, 0.21679]);
  });
  it('6 of 200: .01136, 0 to .05591', () => {
    const share = trueShare({ right: 6, of: 200 }, tried);
    expect(share.estimate).toBeCloseTo(0.01136, 5);
    expect(printed(share, 5)).toEqual([0, 0.05591]);
  });
  it('told without error it is the share called', () => {
    const sure = { seen: { known: 1 }, spared: { known: 1 } };
    expect(trueShare({ right: 3, of: 412 }, sure).estimate).toBeCloseTo(3 / 412, 14);
    expect(printed(trueShare({ right: 3, of: 412 }, sure), 6)).toEqual([0.001504, 0.021131]);
  });
  it('refuses what can hardly be told, and more right than tried', () => {
    const poor = { seen: { known: 0.7 }, spared: { known: 0.7 } };
    expect(() => trueShare({ right: 1, of: 5 }, poor)).toThrow('Expected seen and spared together to be 1.5 or more');
    expect(() => trueShare({ right: 6, of: 5 }, tried)).toThrow('but got "6 of 5"');
  });
});

describe('stages that are confused', () => {
  const confusion = [
    [0.95, 0.04, 0.01],
    [0.05, 0.9, 0.05],
    [0, 0.08, 0.92],
  ];
  it('.3, .5, .2 called are .288092, .526248, .185659 (SciPy 1.10.1)', () => {
    const shares = trueStages([0.3, 0.5, 0.2], confusion);
    [0.288092, 0.526248, 0.185659].forEach((share, i) => {
      expect(shares[i]).toBeCloseTo(share, 5);
    });
  });
  it('negative shares are cut and the rest adds up to 1', () => {
    const shares = trueStages([0, 0.02, 0.98], confusion);
    expect(Math.min(...shares)).toBe(0);
    expect(shares.reduce((a, b) => a + b)).toBeCloseTo(1, 12);
  });
  it('refuses rows that do not add up', () => {
    expect(() => trueStages([0.5, 0.5], [[1, 0]])).toThrow('as many rows as stages, each adding up to 1');
  });
});
