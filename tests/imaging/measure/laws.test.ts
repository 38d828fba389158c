import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { extentAlong } from '../../../packages/imaging/src/measure/extent-along.js';
import { measureOutline } from '../../../packages/imaging/src/measure/measure-outline.js';
import type { Outline } from '../../../packages/imaging/src/raster.js';

/** Star-shaped outlines about the origin with 8 to 60 corners, 5 to 50 px from the middle. */
const outlines = fc
  .array(fc.double({ min: 5, max: 50, noNaN: true }), { minLength: 8, maxLength: 60 })
  .map((radii): Outline =>
    Float64Array.from(
      radii.flatMap((radius, k) => {
        const angle = (2 * Math.PI * k) / radii.length;
        return [radius * Math.cos(angle), radius * Math.sin(angle)];
      }),
    ),
  );
const angles = fc.double({ min: -7, max: 7, noNaN: true });

function mapped(outline: Outline, map: (x: number, y: number) => readonly [number, number]): Outline {
  const out = new Float64Array(outline.length);
  for (let pos = 0; pos < out.length; pos += 2) out.set(map(outline[pos], outline[pos + 1]), pos);
  return out;
}

/** Measures that neither turning nor mirroring nor moving may change. */
function invariants(outline: Outline): number[] {
  const m = measureOutline(outline);
  const determinant = m.xx * m.yy - m.xy * m.xy;
  return [m.areaPx2, m.perimeterPx, m.feret.maxPx, m.feret.minPx, m.solidity, m.circularity, m.xx + m.yy, determinant];
}

function expectClose(a: readonly number[], b: readonly number[]): void {
  a.forEach((value, k) => {
    expect(Math.abs(value - b[k])).toBeLessThanOrEqual(1e-9 * (1 + Math.abs(value)));
  });
}

describe('measures of an outline', () => {
  it('do not change when it is turned, and its directions turn with it', () => {
    fc.assert(
      fc.property(outlines, angles, (outline, angle) => {
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const turned = mapped(outline, (x, y) => [c * x - s * y, s * x + c * y]);
        expectClose(invariants(turned), invariants(outline));
        expect(extentAlong(turned, angle + 0.4)).toBeCloseTo(extentAlong(outline, 0.4), 9);
      }),
    );
  });

  it('do not change when it is mirrored', () => {
    fc.assert(
      fc.property(outlines, (outline) => {
        expectClose(invariants(mapped(outline, (x, y) => [-x, y])), invariants(outline));
      }),
    );
  });

  it('do not change when it is moved, and the centroid moves with it', () => {
    const way = fc.integer({ min: -5000, max: 5000 });
    fc.assert(
      fc.property(outlines, way, way, (outline, dx, dy) => {
        const moved = mapped(outline, (x, y) => [x + dx, y + dy]);
        expectClose(invariants(moved), invariants(outline));
        expect(measureOutline(moved).x - dx).toBeCloseTo(measureOutline(outline).x, 8);
        expect(measureOutline(moved).y - dy).toBeCloseTo(measureOutline(outline).y, 8);
      }),
    );
  });

  it('grow with its scale: lengths by it, areas by its square, ratios not at all', () => {
    fc.assert(
      fc.property(outlines, fc.double({ min: 0.1, max: 10, noNaN: true }), (outline, scale) => {
        const powers = [2, 1, 1, 1, 0, 0, 2, 4];
        const grown = invariants(mapped(outline, (x, y) => [scale * x, scale * y]));
        const expected = invariants(outline).map((value, k) => value * scale ** powers[k]);
        expectClose(grown, expected);
      }),
    );
  });

  it('keep the order least width <= any extent <= greatest Feret diameter < half the perimeter', () => {
    fc.assert(
      fc.property(outlines, angles, (outline, angle) => {
        const { feret, perimeterPx } = measureOutline(outline);
        const extent = extentAlong(outline, angle);
        expect(extent).toBeGreaterThanOrEqual(feret.minPx - 1e-9);
        expect(extent).toBeLessThanOrEqual(feret.maxPx + 1e-9);
        expect(extentAlong(outline, feret.maxAxisRad)).toBeCloseTo(feret.maxPx, 9);
        expect(extentAlong(outline, feret.minAxisRad)).toBeCloseTo(feret.minPx, 9);
        expect(2 * feret.maxPx).toBeLessThan(perimeterPx);
      }),
    );
  });
});
