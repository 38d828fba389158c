import { describe, expect, it } from 'vitest';
import { touchingFlags } from '../../../packages/imaging/src/measure/touching-flags.js';
import { boxPoints, ellipsePoints, placed } from '../../support/polygon-shapes.js';
import { seededRandom } from '../../support/seeded-random.js';

const disc = (x: number, y: number, r = 10): Float64Array => placed(ellipsePoints(r, r, 90), x, y);

describe('touchingFlags', () => {
  it('is set for both of two objects closer than 1.5 um, not for a third', () => {
    // Gaps of 1.4 um and 1.6 um at 0.5 um/px: 2.8 and 3.2 px.
    expect([...touchingFlags([disc(0, 0), disc(22.8, 0), disc(0, 100)], 0.5)]).toEqual([1, 1, 0]);
    expect([...touchingFlags([disc(0, 0), disc(23.2, 0)], 0.5)]).toEqual([0, 0]);
  });

  it('takes 1 px at coarse scales and without a scale', () => {
    for (const umPerPx of [3, null]) {
      expect([...touchingFlags([disc(0, 0), disc(20.9, 0)], umPerPx)]).toEqual([1, 1]);
      expect([...touchingFlags([disc(0, 0), disc(21.1, 0)], umPerPx)]).toEqual([0, 0]);
    }
  });

  it('is set for objects that overlap or lie one within the other', () => {
    expect([...touchingFlags([disc(0, 0), disc(8, 3)], 2)]).toEqual([1, 1]);
    expect([...touchingFlags([disc(0, 0, 4), disc(0, 0, 50)], 2)]).toEqual([1, 1]);
  });

  it('sees a corner that points at a long side without a point near it', () => {
    const bar = placed(boxPoints(200, 6), 0, 0);
    expect([...touchingFlags([bar, placed(boxPoints(10, 10), 40, 10.5, Math.PI / 4)], null)]).toEqual([1, 1]);
  });

  it('has no neighbours for none or one', () => {
    expect(touchingFlags([], 1)).toHaveLength(0);
    expect([...touchingFlags([disc(0, 0)], 1)]).toEqual([0]);
  });

  it('says the same as distances of all pairs of discs', () => {
    const random = seededRandom(5);
    const centres = Array.from({ length: 150 }, () => [600 * random(), 600 * random(), 5 + 15 * random()] as const);
    const expected = centres.map(([x, y, r], k) =>
      centres.some(([u, v, s], other) => other !== k && Math.hypot(x - u, y - v) - r - s < 1) ? 1 : 0,
    );
    // The 90 corners lie on the circles, their sides up to 0.012 px inside: no gap falls into that here.
    expect([
      ...touchingFlags(
        centres.map(([x, y, r]) => disc(x, y, r)),
        null,
      ),
    ]).toEqual(expected);
  });
});
