import { describe, expect, it } from 'vitest';
import { auditRegression, helpedMean } from '@veligrid/estimation';
import { auditEstimate, drawSquares, type AuditSquare } from '../../packages/estimation/src/audit.js';
import { meanLimits } from '../../packages/estimation/src/mean-limits.js';
import { seededRandom } from '../support/seeded-random.js';
import { lastDigits, printed } from './support.js';

const DETECTED = [
  12, 9, 15, 7, 11, 14, 8, 10, 13, 9, 16, 11, 12, 6, 10, 9, 14, 13, 8, 12, 11, 10, 15, 9, 7, 13, 12, 10, 11, 8, 14, 9,
  12, 10, 13, 11, 7, 12, 15, 10,
];
const AT = [0, 5, 9, 13, 17, 20, 26, 29, 33, 38];
const CONFIRMED = [13, 14, 10, 6, 14, 12, 12, 9, 11, 16];
const squares: AuditSquare[] = DETECTED.map((detected, i) => ({
  detected,
  confirmed: AT.includes(i) ? CONFIRMED[AT.indexOf(i)] : null,
}));

describe('10 of 40 squares checked (SciPy 1.10.1)', () => {
  const audit = auditEstimate(squares);
  it('difference: 466.0 (454.030 to 477.970)', () => {
    expect(audit.difference.estimate).toBeCloseTo(466, 8);
    expect(printed(audit.difference, 3)).toEqual([454.03, 477.97]);
    expect(audit.difference.standardErrorOfMean).toBeCloseTo(0.1322876, 7);
  });
  it('ratio 1.0636364: 465.873 (453.465 to 478.280), u .0135326', () => {
    expect(audit.ratio?.ratio).toBeCloseTo(1.0636364, 7);
    expect(audit.ratio?.estimate).toBeCloseTo(465.873, 3);
    expect(printed(audit.ratio ?? audit.difference, 3)).toEqual([453.465, 478.28]);
    expect(audit.ratio?.relativeStandardUncertainty).toBeCloseTo(0.0135326, 7);
  });
  it('regression slope 1.0142857: 465.971 (453.073 to 478.870), t of 8 degrees', () => {
    const regression = auditRegression(squares);
    expect(regression.slope).toBeCloseTo(1.0142857, 7);
    expect(regression.estimate).toBeCloseTo(465.971, 3);
    expect(lastDigits(regression.low, 453.073, 3)).toBeLessThan(1);
    expect(lastDigits(regression.high, 478.87, 3)).toBeLessThan(1);
  });
  it('helped by the unchecked squares: 11.633333 (.4772607), at best trust .9308189 11.637945 (.4535732)', () => {
    const full = helpedMean(squares, 1);
    expect(full.mean).toBeCloseTo(11.633333, 6);
    expect(full.standardError).toBeCloseTo(0.4772607, 7);
    const best = helpedMean(squares);
    expect(best.trust).toBeCloseTo(0.9308189, 7);
    expect(best.mean).toBeCloseTo(11.637945, 6);
    expect(best.standardError).toBeCloseTo(0.4535732, 7);
    const alone = helpedMean(squares, 0);
    expect(alone.mean).toBeCloseTo(11.7, 10);
    expect(alone.standardError).toBeCloseTo(0.9073772, 7);
  });
  it('those ten squares by themselves: 468 (396.895 to 539.105), t of 9 degrees without the detector', () => {
    const alone = meanLimits(CONFIRMED);
    const finite = Math.sqrt(1 - 10 / 40);
    expect(40 * (alone?.estimate ?? 0)).toBeCloseTo(468, 8);
    expect(lastDigits(468 - 40 * finite * (11.7 - (alone?.low ?? 0)), 396.895, 3)).toBeLessThan(1);
  });
  it('regression does not go below 0', () => {
    const few = [3, 0, 1].map((confirmed, i) => ({ detected: i, confirmed }));
    const low = auditRegression([...few, { detected: 9, confirmed: null }]);
    expect([low.low, low.estimate >= 0]).toEqual([0, true]);
  });
  it('regression and help refuse too few squares, or squares that are all alike', () => {
    const alike = [1, 2, 3].map((confirmed) => ({ detected: 4, confirmed }));
    expect(() => auditRegression(alike)).toThrow('3 or more confirmed ones that differ in what was detected');
    const checked = [1, 2, 3].map((n) => ({ detected: n, confirmed: n }));
    expect(() => helpedMean(checked)).toThrow('2 or more unconfirmed ones that differ in what was detected');
  });
  it('counts the squares and has nothing to warn of', () => {
    expect([audit.squares, audit.audited, audit.warnings]).toEqual([40, 10, []]);
  });
});

describe('edges', () => {
  it('all squares checked leave no uncertainty of sampling', () => {
    const all = auditEstimate([1, 2, 3, 4, 5].map((n) => ({ detected: n, confirmed: n + 1 })));
    expect(all.difference).toMatchObject({ estimate: 20, low: 20, high: 20 });
    expect(all.ratio).toMatchObject({ estimate: 20, low: 20, high: 20 });
  });
  it('nothing detected in the checked squares leaves the difference only', () => {
    const none = auditEstimate([
      { detected: 0, confirmed: 1 },
      { detected: 0, confirmed: 0 },
      { detected: 3, confirmed: null },
    ]);
    expect(none.ratio).toBeNull();
    expect(none.warnings.map(({ code }) => code)).toEqual(['few-audited', 'nothing-detected']);
  });
  it('nothing confirmed is 0, with no uncertainty of the ratio', () => {
    const { ratio, difference } = auditEstimate([
      { detected: 2, confirmed: 0 },
      { detected: 2, confirmed: 0 },
      { detected: 2, confirmed: null },
    ]);
    expect(ratio).toMatchObject({ estimate: 0, relativeStandardUncertainty: 0 });
    expect(difference.estimate).toBe(0);
  });
  it('refuses fewer than two checked squares', () => {
    expect(() => auditEstimate([{ detected: 3, confirmed: 3 }])).toThrow(
      'Expected squares to be a list with 2 or more confirmed squares, but got "1 confirmed"',
    );
  });
});

describe('drawing squares', () => {
  const names = Array.from({ length: 40 }, (_, i) => `S${i}`);
  it('draws without repeats, one in five blind, and the same again with the same seed', () => {
    const drawn = drawSquares(names, 10, seededRandom(3));
    expect(new Set(drawn.map(({ name }) => name)).size).toBe(10);
    expect(drawn.filter(({ blind }) => blind)).toHaveLength(2);
    expect(drawn).toEqual(drawSquares(names, 10, seededRandom(3)));
  });
  it('draws each square equally often: X2 of 40 classes stays below its 99.9 % point, 72.05', () => {
    const random = seededRandom(11);
    const times = new Map(names.map((name) => [name, 0]));
    for (let i = 0; i < 2000; i += 1) {
      for (const { name } of drawSquares(names, 4, random)) times.set(name, (times.get(name) ?? 0) + 1);
    }
    const x2 = [...times.values()].reduce((sum, n) => sum + (n - 200) ** 2 / 200, 0);
    expect(x2).toBeLessThan(72.05);
  });
  it('refuses more squares than there are', () => {
    expect(() => drawSquares(names, 41, Math.random)).toThrow('a whole number from 1 to 40, but got 41');
  });
});
