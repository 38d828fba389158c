import { describe, expect, it } from 'vitest';
import { keepStrongest } from '../../../packages/imaging/src/find/keep-strongest.js';
import type { Peak } from '../../../packages/imaging/src/find/peaks.js';
import { planTiles } from '../../../packages/imaging/src/find/tiles.js';

describe('planTiles', () => {
  it.each([
    [100, 80],
    [929, 400],
    [4000, 3100],
  ])('covers a picture of %i x %i by inner parts, each pixel once', (width, height) => {
    const seen = new Uint8Array(width * height);
    for (const { inner, left, top, ...size } of planTiles(width, height)) {
      expect(inner.left).toBeGreaterThanOrEqual(left);
      expect(inner.right).toBeLessThanOrEqual(left + size.width);
      expect(top + size.height).toBeLessThanOrEqual(height);
      for (let y = inner.top; y < inner.bottom; y++) {
        for (let x = inner.left; x < inner.right; x++) seen[y * width + x]++;
      }
    }
    expect(seen.every((times) => times === 1)).toBe(true);
  });
});

describe('keepStrongest', () => {
  const disc = (x: number, y: number, r: number, centre: number): Peak => ({
    x,
    y,
    spokes: new Float64Array(32).fill(r),
    centre,
    classes: new Float64Array(19),
    axis: 0,
  });

  it('keeps the stronger of two that show one object', () => {
    expect(keepStrongest([disc(10, 10, 10, 0.6), disc(13, 10, 10, 0.9)]).map(({ centre }) => centre)).toEqual([0.9]);
  });

  it('keeps two that touch', () => {
    expect(keepStrongest([disc(10, 10, 10, 0.6), disc(29, 10, 10, 0.9)])).toHaveLength(2);
  });

  it('drops a small one that lies mostly in a large one, away from its middle', () => {
    expect(keepStrongest([disc(0, 0, 50, 0.9), disc(45, 0, 8, 0.8)])).toHaveLength(1);
  });

  it('gives the same whatever the order', () => {
    const peaks = [disc(10, 10, 10, 0.6), disc(13, 10, 10, 0.9), disc(40, 10, 9, 0.5), disc(44, 12, 9, 0.5)];
    expect(keepStrongest([...peaks].reverse())).toEqual(keepStrongest(peaks));
  });
});
