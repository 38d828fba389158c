import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  areaOf,
  boxOf,
  cutOutline,
  holds,
  joinOutlines,
  outlineFromTaps,
  ovalBetween,
  type Point,
} from '../../apps/web/src/slide/shapes.js';

/** A square of 10 px with its top left corner at x, y. */
const square = (x: number, y: number): Point[] => [
  [x, y],
  [x + 10, y],
  [x + 10, y + 10],
  [x, y + 10],
];

describe('what taps draw', () => {
  it('one is nothing, two an oval between them, three or more the outline', () => {
    expect(outlineFromTaps([[1, 1]])).toBeNull();
    expect(outlineFromTaps(square(0, 0))).toEqual(square(0, 0));
    const oval = outlineFromTaps([
      [0, 0],
      [100, 0],
    ]);
    const { minX, maxX, minY, maxY } = boxOf(oval ?? []);
    // Ends are corners of the outline; across them it is 85 wide.
    expect([minX, maxX, minY, maxY].map((px) => Math.round(px * 1e6) / 1e6)).toEqual([0, 100, -42.5, 42.5]);
  });
  it('two in the same place are nothing', () => {
    const same: Point = [5, 5];
    expect(outlineFromTaps([same, same])).toBeNull();
  });
  it('an oval of 32 corners has 2 % less area than the ellipse pi a b at most', () => {
    const ellipse = Math.PI * 50 * 42.5;
    const area = areaOf(ovalBetween([10, 20], [70, 100]));
    expect(area).toBeLessThan(ellipse);
    expect(area).toBeGreaterThan(0.98 * ellipse);
  });
});

describe('cutting', () => {
  it('a square through its middle gives two halves', () => {
    const parts = cutOutline(square(0, 0), [5, -3], [5, 13]) ?? [];
    expect(parts).toHaveLength(2);
    // The cut is 0.1 px wide, so each half loses 0.05 x 10.
    for (const part of parts) expect(areaOf(part)).toBeCloseTo(49.5, 6);
  });
  it('beside it gives null', () => {
    expect(cutOutline(square(0, 0), [20, -3], [20, 13])).toBeNull();
  });
  it('never makes area, whatever the line', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 30, noNaN: true }),
        fc.double({ min: -20, max: 30, noNaN: true }),
        (a, b) => {
          const parts = cutOutline(square(0, 0), [a, -25], [b, 35]);
          if (parts === null) return;
          const sum = parts.reduce((total, part) => total + areaOf(part), 0);
          expect(sum).toBeLessThanOrEqual(100 + 1e-6);
          expect(sum).toBeGreaterThan(96);
        },
      ),
    );
  });
});

describe('joining', () => {
  it('two that overlap gives their union: 100 + 100 - 25', () => {
    expect(areaOf(joinOutlines([square(0, 0), square(5, 5)]))).toBeCloseTo(175, 6);
  });
  it('two apart gives the hull round both: a bar of 30 x 10', () => {
    expect(areaOf(joinOutlines([square(0, 0), square(20, 0)]))).toBeCloseTo(300, 6);
  });
});

it('holds tells inside from outside', () => {
  expect(holds(square(0, 0), [5, 5])).toBe(true);
  expect(holds(square(0, 0), [15, 5])).toBe(false);
});
