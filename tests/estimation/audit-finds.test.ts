import { describe, expect, it } from 'vitest';
import { auditFinds, exactFinds, shareOutChecks } from '@veligrid/estimation';
import { lastDigits, printed } from './support.js';

describe('186 of 200 right, drawn from 1240 finds (SciPy 1.10.1)', () => {
  const one = { found: 1240, checked: 200, right: 186 };
  it('1153.2, standard error 20.5396, 1112.94 to 1193.46', () => {
    const finds = auditFinds([one]);
    expect(finds.estimate).toBeCloseTo(1153.2, 10);
    expect(finds.standardError).toBeCloseTo(20.5396, 4);
    expect(printed(finds, 2)).toEqual([1112.94, 1193.46]);
  });
  it('exact, hypergeometric: 1103 to 1189', () => {
    expect(exactFinds(one)).toEqual({ low: 1103, high: 1189 });
  });
  it('no error among 200: 1220 or more two-sided, 1224 or more one-sided', () => {
    const faultless = { ...one, right: 200 };
    expect(exactFinds(faultless)).toEqual({ low: 1220, high: 1240 });
    expect(exactFinds(faultless, 0.05).low).toBe(1224);
  });
});

describe('three classes of score (SciPy 1.10.1)', () => {
  const classes = [
    { found: 820, checked: 40, right: 40 },
    { found: 300, checked: 60, right: 54 },
    { found: 120, checked: 60, right: 33 },
  ];
  const finds = auditFinds(classes);
  it('1156, standard error 11.8336, the cautious one 22.3388', () => {
    expect(finds.estimate).toBeCloseTo(1156, 10);
    expect(finds.standardError).toBeCloseTo(11.8336, 4);
    expect(finds.cautiousStandardError).toBeCloseTo(22.3388, 4);
  });
  it('a class without any error makes the cautious one set the limits', () => {
    expect(finds.high - 1156).toBeCloseTo(1.959964 * finds.cautiousStandardError, 4);
  });
  it('160 checks are best shared out as 71.5, 54.3, 34.2 (Neyman)', () => {
    [71.5, 54.3, 34.2].forEach((n, i) => {
      expect(lastDigits(shareOutChecks(classes, 160)[i], n, 1)).toBeLessThan(0.5);
    });
  });
  it('a class looked at in full adds no uncertainty', () => {
    const all = auditFinds([{ found: 50, checked: 50, right: 31 }]);
    expect([all.low, all.estimate, all.high]).toEqual([31, 31, 31]);
  });
});

describe('edges', () => {
  it('small numbers: exact limits against all outcomes counted by hand', () => {
    // 2 of 4 finds looked at, 1 right: of 3 right ones P(X >= 1) is 1, of 1 it is 1/2; none may be left out at 2.5 %.
    expect(exactFinds({ found: 4, checked: 2, right: 1 })).toEqual({ low: 1, high: 3 });
    // 10 finds, 5 looked at, all right: with 6 right ones that has chance C(6,5)/C(10,5) = 6/252, below 2.5 %; with 7, 21/252.
    expect(exactFinds({ found: 10, checked: 5, right: 5 }).low).toBe(7);
  });
  it('limits stay between the right ones seen and what is left', () => {
    const { low, high } = auditFinds([{ found: 6, checked: 3, right: 2 }]);
    expect(low).toBeGreaterThanOrEqual(2);
    expect(high).toBeLessThanOrEqual(5);
  });
  it.each([
    [{ found: 3, checked: 4, right: 1 }],
    [{ found: 9, checked: 1, right: 1 }],
    [{ found: 9, checked: 4, right: 5 }],
    [{ found: 9, checked: 4, right: 1.5 }],
  ])('refuses %j', (one) => {
    expect(() => auditFinds([one])).toThrow('Expected a class to be found >= checked >= right, 2 or more checked');
    expect(() => exactFinds(one)).toThrow('Expected a class to be');
  });
  it('refuses no class', () => {
    expect(() => auditFinds([])).toThrow('Expected classes to be one or more, but got "none"');
  });
});
