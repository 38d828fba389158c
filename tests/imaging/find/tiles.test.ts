import { describe, expect, it } from 'vitest';
import { keepStrongest } from '../../../packages/imaging/src/find/keep-strongest.js';
import type { Peak } from '../../../packages/imaging/src/find/peaks.js';
import { resample } from '../../../packages/imaging/src/find/resample.js';
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

describe('resample', () => {
  const data = Uint8Array.from([0, 90, 10, 100].flatMap((v) => [v, v, v]));

  it('averages whole pixels when it shrinks by 2', () => {
    expect([...resample({ width: 4, height: 1, data }, 2, 1).data]).toEqual([45, 55, 45, 55, 45, 55]);
  });

  it('draws straight lines between pixels when it enlarges by 2', () => {
    const red = [...resample({ width: 4, height: 1, data }, 8, 1).data.subarray(0, 8)];
    expect(red).toEqual([0, 22.5, 67.5, 70, 30, 32.5, 77.5, 100]);
  });

  it('keeps a picture of the same size', () => {
    expect([...resample({ width: 4, height: 1, data }, 4, 1).data.subarray(0, 4)]).toEqual([0, 90, 10, 100]);
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
