import { describe, expect, it } from 'vitest';
import { resizeArea } from '../../../packages/imaging/src/cv/resize-area.js';

describe('resizeArea', () => {
  it('takes the mean of 2 x 2 pixels at half size', () => {
    const data = Float32Array.from([1, 3, 10, 10, 5, 7, 20, 0]);
    expect(resizeArea({ width: 4, height: 2, data }, 2, 1)).toEqual({
      width: 2,
      height: 1,
      data: Float32Array.from([4, 10]),
    });
  });

  it('shares a pixel that lies under two new ones', () => {
    // Three pixels onto two: each new one covers 1.5 old ones, so (0 + 6 / 2) / 1.5 and (6 / 2 + 9) / 1.5.
    const { data } = resizeArea({ width: 3, height: 1, data: Float32Array.from([0, 6, 9]) }, 2, 1);
    expect(data[0]).toBeCloseTo(2, 5);
    expect(data[1]).toBeCloseTo(8, 5);
  });

  it('keeps bytes as bytes', () => {
    const { data } = resizeArea({ width: 2, height: 2, data: Uint8Array.from([10, 20, 30, 40]) }, 1, 1);
    expect(data).toEqual(Uint8Array.from([25]));
  });

  it('refuses to enlarge', () => {
    const plane = { width: 2, height: 2, data: new Uint8Array(4) };
    expect(() => resizeArea(plane, 3, 1)).toThrow('Expected width to be a whole number from 1 to 2, but got 3');
    expect(() => resizeArea(plane, 1, 0)).toThrow('Expected height to be a whole number from 1 to 2, but got 0');
  });
});
