import { describe, expect, it } from 'vitest';
import { estimateCount, sumTotals, type TotalPart } from '@veligrid/estimation';
import { studentQuantile } from '../../packages/estimation/src/special-functions.js';
import { countDraw, seededDraws } from '../../tools/simulation/draws.js';
import { exact, subsamplesOf } from './support.js';

const codes = (result: { warnings: readonly { code: string }[] }): string[] => result.warnings.map(({ code }) => code);
/** A class whose one count, scaled up by nothing, is the published number. */
const whole = (name: string, animals: number): TotalPart => ({ name, count: exact(subsamplesOf([animals])) });

describe('screen classes of live seed (github grace-ac/paper-pacific.oyster-larvae, num-live-seed-d24-d34.md @c06e4792)', () => {
  it.each([
    ['CV-22, 29 C on day 24', [54_230, 100_603, 62_500, 33_750], 251_083],
    ['CV-23, 23 C on day 24', [65_076, 35_770], 100_846],
    ['CV-24, 29 C on day 34', [39_347, 48_000, 42_300, 656, 54_000, 3325, 19_740, 8000, 450], 215_818],
  ])('%s: sum', (_, animals, total) => {
    const { total: sum, parts } = sumTotals(animals.map((n, i) => whole(`class ${i}`, n)));
    expect(sum.estimate).toBe(total);
    expect(parts.map(({ estimate }) => estimate.total.estimate)).toEqual(animals);
    expect(sum.low).toBeLessThan(total);
    expect(sum.high).toBeGreaterThan(total);
  });
});

describe('what adds by squares and what adds in full', () => {
  const scattered = [98, 143, 171, 120, 205, 134];
  const tank = (name: string, u = 0): TotalPart => ({
    name,
    count: { ...exact(subsamplesOf(scattered), 1000), volumeRelativeStandardUncertainty: u },
  });
  it('two alike tanks: u falls by root 2, degrees of freedom of both add up (5 + 5)', () => {
    const one = estimateCount(tank('a').count);
    const two = sumTotals([tank('a'), tank('b')]);
    expect(two.total.estimate).toBe(2 * one.total.estimate);
    expect(two.relativeStandardUncertainty).toBeCloseTo((one.relativeStandardUncertainty ?? 0) / Math.SQRT2, 12);
    expect(two.degreesOfFreedom).toBe(10);
    const h = Math.log(two.total.high / two.total.estimate);
    expect(h).toBeCloseTo(studentQuantile(0.975, 10) * (two.relativeStandardUncertainty ?? 0), 12);
  });
  it('the depth of the one cell does not average out', () => {
    const u = (depth: number): number =>
      sumTotals([tank('a', depth), tank('b', depth)]).relativeStandardUncertainty ?? 0;
    expect(Math.sqrt(u(0.1) ** 2 - u(0) ** 2)).toBeCloseTo(0.1, 12);
  });
  it('containers average out unless it is the same one', () => {
    const vessel = (name: string): TotalPart => {
      const { count } = tank(name);
      return { name, count: { ...count, container: { volumeMl: 1000, relativeStandardUncertainty: 0.1 } } };
    };
    const u = (sameContainer: boolean): number =>
      sumTotals([vessel('a'), vessel('b')], { sameContainer }).relativeStandardUncertainty ?? 0;
    const bare = sumTotals([tank('a'), tank('b')]).relativeStandardUncertainty ?? 0;
    expect(Math.sqrt(u(true) ** 2 - bare ** 2)).toBeCloseTo(0.1, 12);
    expect(Math.sqrt(u(false) ** 2 - bare ** 2)).toBeCloseTo(0.1 / Math.SQRT2, 12);
  });
  it('one history keeps its own degrees of freedom over all tanks', () => {
    const history = { cv: 0.3, degreesOfFreedom: 12 };
    const single = (name: string): TotalPart => ({ name, count: { ...exact(subsamplesOf([10_000])), history } });
    // Counting error of 1 % in each tank against 30 %: u^4 / (v_history^2 / 12), hardly above 12.
    expect(sumTotals([single('a'), single('b'), single('c')]).degreesOfFreedom).toBe(12);
  });
});

it('limits of a sum hold: three tanks of three fillings that scatter by 20 %, 600 draws, 93 % less 3 standard errors', () => {
  const draws = seededDraws(6);
  const tank = (name: string, containerMl: number): TotalPart => ({
    name,
    count: exact(subsamplesOf([1, 2, 3].map(() => countDraw(100, 0.2, draws))), containerMl),
  });
  let held = 0;
  for (let sample = 0; sample < 600; sample += 1) {
    const { total } = sumTotals([tank('a', 10), tank('b', 20), tank('c', 30)]);
    if (total.low <= 6000 && 6000 <= total.high) held += 1;
  }
  expect(held / 600).toBeGreaterThan(0.93 - 3 * Math.sqrt((0.93 * 0.07) / 600));
});

describe('edges', () => {
  it('one part is that part', () => {
    const { count } = whole('a', 80);
    expect(sumTotals([{ name: 'a', count }]).total).toEqual(estimateCount(count).total);
  });
  it('an empty part adds to the upper limit only, and its warnings carry its name', () => {
    const full = sumTotals([whole('a', 400), whole('b', 300)]);
    const more = sumTotals([whole('a', 400), whole('b', 300), whole('c', 0)]);
    expect(more.total.low).toBe(full.total.low);
    expect(more.total.high).toBeGreaterThan(full.total.high);
    expect(codes(more)).toContain('nothing-counted');
    expect(more.warnings.find(({ code }) => code === 'nothing-counted')?.message).toMatch(/^c: No animal/);
  });
  it('nothing anywhere is 0 with a finite upper limit', () => {
    const none = sumTotals([whole('a', 0), whole('b', 0)]);
    expect(none.total).toMatchObject({ estimate: 0, low: 0 });
    expect(none.total.high).toBeCloseTo(Math.SQRT2 * 3.688879, 5);
    expect([none.relativeStandardUncertainty, none.degreesOfFreedom]).toEqual([null, null]);
  });
  it('refuses none and two of one name', () => {
    expect(() => sumTotals([])).toThrow('Expected parts to be a list of one or more, but got "none"');
    expect(() => sumTotals([whole('a', 1), whole('a', 2)])).toThrow(
      'Expected the names of the parts to be different from each other, but got "a"',
    );
  });
});
