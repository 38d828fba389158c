import { describe, expect, it } from 'vitest';
import { loadFiguresOrCommon } from '@veligrid/season';
import type { CountedSample } from '../../packages/season/src/batch/counted-samples.js';
import { growthOf } from '../../packages/season/src/batch/growth-of.js';

const book = await loadFiguresOrCommon('eastern-oyster');

/** A count on a day whose larvae had this mean length. */
function lengths(day: number, mean: number, by = 1): CountedSample {
  const percentiles = [
    { percent: 10, lengthUm: mean - 10 },
    { percent: 50, lengthUm: mean },
    { percent: 90, lengthUm: mean + 10 },
  ];
  const total = { estimate: 1, low: 1, high: 1 };
  return {
    sample: { id: `s${day}`, name: `day ${day}` },
    tank: { id: 't', name: '1-1' },
    at: `2026-05-${String(4 + day).padStart(2, '0')}T10:00:00.000Z`,
    day,
    fixed: false,
    signedOff: { by: 'Ana', at: '2026-06-01T00:00:00.000Z' },
    result: {
      animals: 50,
      signedOff: { by: 'Ana', at: '2026-06-01T00:00:00.000Z' },
      all: { densityPerMl: total, total },
      alive: null,
      shares: [],
      lengths: { measured: 50, mean: { estimate: mean, low: mean - by, high: mean + by }, percentiles },
    },
  };
}

describe('growth of a batch beside the band of its species', () => {
  // Edges by hand from the preset's rules of thumb of the trade (common practice, no source): on day 6 the fast edge is
  // 180 um, the slow one 60 + (300 - 60) (6 - 2)/(21 - 2) = 110.53 um.
  it('lies below, within or above only when its limits do so wholly', () => {
    const places = [108, 110, 150, 180.5, 182].map((mean) => growthOf([lengths(6, mean)], 26, book).points[0]?.place);
    expect(places).toEqual(['below', 'within', 'within', 'within', 'above']);
  });

  it('has the edges of every half day, from day 1 to two days after the last count', () => {
    const { band, bandAt } = growthOf([lengths(6, 150)], 26, book);
    expect([band[0]?.day, band.at(-1)?.day, band.length]).toEqual([1, 8, 15]);
    const six = band.find(({ day }) => day === 6);
    expect([six?.slowUm, six?.fastUm]).toEqual([expect.closeTo(110.526, 3), 180]);
    expect(bandAt).toEqual({ fromC: 25, toC: 30, pace: 1 });
  });

  it('is slowed down in colder water, and stands without a temperature', () => {
    const cold = growthOf([lengths(6, 105)], 20, book);
    expect(cold.bandAt?.pace).toBeLessThan(1);
    expect(cold.points[0]?.place).toBe('within');
    expect(growthOf([lengths(6, 105)], null, book).points[0]?.place).toBe('below');
  });

  it('shows points without a band where the species has none, and leaves out counts without lengths', async () => {
    const other = await loadFiguresOrCommon('a mussel');
    const none = { ...lengths(3, 70), result: { ...lengths(3, 70).result, lengths: null } };
    const { points, band, bandAt } = growthOf([none, lengths(6, 150)], 26, other);
    expect(points.map(({ day, place }) => [day, place])).toEqual([[6, 'no-band']]);
    expect([band, bandAt]).toEqual([[], null]);
  });
});
