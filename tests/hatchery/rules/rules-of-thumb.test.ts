import { describe, expect, it } from 'vitest';
import { growth } from '@veligrid/hatchery';
import { loadSpecies } from '@veligrid/imaging';
import { speciesBand } from '../../../packages/hatchery/src/rules/growth-band.js';
import { amount, book, bookOf, codes } from './support.js';

/** Rules of thumb of the trade for a warm, well fed batch of oysters: common practice, no source. */
const THUMB = [
  { day: 2, lowUm: 60, highUm: 70 },
  { day: 6, lowUm: 160, highUm: 180 },
  { day: 9, lowUm: 250, highUm: 275 },
  { day: 11, lowUm: 300, highUm: 320 },
  { day: 14, lowUm: 300, highUm: 320 },
];

describe('growth band of the eastern oyster', () => {
  it.each([25, 28, 30])('its fast edge agrees with the rules of thumb within 10 %% at %d C', (temperature) => {
    const band = speciesBand(temperature, book);
    for (const { day, lowUm, highUm } of THUMB) {
      const fast = band.at(day)?.fastUm ?? 0;
      expect(Math.abs(fast / ((lowUm + highUm) / 2) - 1)).toBeLessThanOrEqual(0.1);
    }
  });
  it('its slow edge grows 10 to 15 um a day (25-28 C) and sets at 14 to 21 days (common practice, no source)', () => {
    const band = speciesBand(26, book);
    for (let day = 2; day < 20; day += 1) {
      const perDay = (band.at(day + 1)?.slowUm ?? 0) - (band.at(day)?.slowUm ?? 0);
      expect(perDay).toBeGreaterThanOrEqual(10);
      expect(perDay).toBeLessThanOrEqual(15);
    }
    const ready = band.daysTo(300);
    expect(ready.slow).toBeGreaterThanOrEqual(14);
    expect(ready.slow).toBeLessThanOrEqual(21);
    // Ready to set at 11 to 14 days along the fast edge, within 10 %.
    expect(ready.fast).toBeGreaterThanOrEqual(11 * 0.9);
    expect(ready.fast).toBeLessThanOrEqual(14);
  });
  it('the staging preset knows D-larvae at 24 h and eyed ones at 10 to 12 days (common practice, no source)', async () => {
    const { ages, sizes } = await loadSpecies('eastern-oyster');
    const during = (stage: string, hours: number): boolean =>
      ages.some((one) => one.stage === stage && one.fromHours <= hours && hours <= one.toHours);
    expect(during('d-larva', 24)).toBe(true);
    for (const day of [10, 11, 12]) expect(during('eyed', 24 * day)).toBe(true);
    const eyed = sizes.find(({ stage }) => stage === 'eyed');
    expect(speciesBand(28, book).at(10)?.fastUm).toBeGreaterThanOrEqual(eyed?.lowUm ?? Infinity);
  });
  it('colder water slows it as O. edulis: 8-12 days at 25 C against 14 at 20 (Davis & Calabrese 1969, read)', () => {
    const [warm, cold] = [25, 20].map((temperature) => speciesBand(temperature, book).daysTo(300).fast ?? 0);
    expect(cold / warm).toBeGreaterThan(14 / 12);
    expect(cold / warm).toBeLessThan(14 / 8);
  });
  it('the three species reach their setting length along both edges', () => {
    for (const species of ['eastern-oyster', 'pacific-oyster', 'hard-clam']) {
      const figures = bookOf(species);
      const length = figures.get('setting.length-um')?.value as number;
      const { fast, slow } = speciesBand(null, figures).daysTo(length);
      expect(fast).toBeLessThan(slow ?? 0);
      expect(slow).toBeLessThanOrEqual(21);
    }
  });
});

describe('growth check', () => {
  const at = (day: number, um: number, part = 0.01) => ({ day, meanLengthUm: amount(um, part) });
  it('is quiet within the band, at the rules of thumb and at the slow edge', () => {
    for (const { day, lowUm } of THUMB.slice(0, 4)) {
      expect(codes(growth({ measurements: [at(day, lowUm)], temperatureC: 28 }, book))).toEqual([]);
    }
    expect(codes(growth({ measurements: [at(10, 165)], temperatureC: 26 }, book))).toEqual([]);
  });
  it('warns below and above, naming edge and temperature', () => {
    const slow = growth({ measurements: [at(10, 140)], temperatureC: 26 }, book);
    expect(codes(slow)).toEqual(['below-band']);
    expect(slow.warnings[0].message).toContain('slow edge of the species band, 161 um at 26 C');
    const fast = growth({ measurements: [at(6, 230)], temperatureC: 26 }, book);
    expect(codes(fast)).toEqual(['above-band']);
    expect(fast.warnings[0].message).toContain('fast edge of the species band, 180 um at 26 C');
  });
  it('does not warn when the limits reach into the band', () => {
    expect(codes(growth({ measurements: [at(10, 150, 0.1)], temperatureC: 26 }, book))).toEqual([]);
  });
  it('the same length is within the band in colder water', () => {
    const plan = growth({ measurements: [at(10, 140)], temperatureC: 21 }, book);
    expect(codes(plan)).toEqual([]);
    expect(plan.pace).toBeLessThan(1);
  });
  it('the failed trial that was "stuck" (public notebook of 2017): no growth and below the band', () => {
    const stuck = [2, 5, 9, 12, 15].map((day) => at(day, 75 + day * 0.2));
    const plan = growth({ measurements: stuck, temperatureC: 23 }, bookOf('pacific-oyster'));
    expect(codes(plan)).toContain('below-band');
  });
  it('tells a batch that falls behind its own past while still in the band', () => {
    const fast = [at(2, 66), at(4, 110), at(6, 155), at(8, 200), at(10, 203)];
    const plan = growth({ measurements: fast, temperatureC: 28 }, book);
    expect(codes(plan)).toEqual(['slower-than-own-past']);
    expect(plan.ownPast?.umPerDay).toBeCloseTo(22.35, 2);
    expect(plan.days.at(-1)?.place).toBe('within');
  });
  it('says which temperature it used, without a warning', () => {
    const note = (temperature: object) => {
      const plan = growth({ measurements: [at(10, 200)], ...temperature }, book);
      expect(codes(plan)).toEqual([]);
      return plan.temperatureNote;
    };
    expect(note({})).toContain('No temperature was given');
    expect(note({ temperatureC: 32 })).toContain('Warmer than the 25 to 30 C');
    expect(note({ temperatureC: 22 })).toContain('Colder than the 25 to 30 C');
    expect(note({ temperatureC: 26 })).toBeNull();
  });
  it.each([
    [{ measurements: [] }, 'Expected measurements to be a list of one or more'],
    [{ measurements: [at(4, 80), at(4, 81)] }, 'Expected measurements[1].day to be a day above 4'],
    [{ measurements: [at(4, 80)], temperatureC: 70 }, 'Expected temperatureC to be a temperature'],
  ])('refuses %#', (question, message) => {
    expect(() => growth(question, book)).toThrow(message);
  });
});
