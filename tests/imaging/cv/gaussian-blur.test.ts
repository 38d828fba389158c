import { describe, expect, it } from 'vitest';
import { gaussianBlur } from '../../../packages/imaging/src/cv/gaussian-blur.js';

const impulse = (size: number, value: number): Float32Array => {
  const data = new Float32Array(size * size);
  data[(size * size - 1) / 2] = value;
  return data;
};

describe('gaussianBlur', () => {
  it.each([0.8, 2, 4.5])('spreads a single bright pixel as the sampled Gaussian of sigma %d', (sigma) => {
    const size = 41;
    const { data } = gaussianBlur({ width: size, height: size, data: impulse(size, 1) }, sigma);
    // The definition, cut at 4 sigma (mass beyond: 6e-5) and made to add up to 1.
    const weight = (d: number): number => Math.exp(-(d * d) / (2 * sigma * sigma));
    let sum = 0;
    for (let d = -20; d <= 20; d++) sum += weight(d);
    const middle = 20;
    for (const [dx, dy] of [
      [0, 0],
      [1, 0],
      [0, 2],
      [3, -2],
    ]) {
      const expected = (weight(dx) * weight(dy)) / (sum * sum);
      expect(data[(middle + dy) * size + middle + dx]).toBeCloseTo(expected, 4);
    }
    expect(data.reduce((total, value) => total + value, 0)).toBeCloseTo(1, 4);
  });

  it('leaves an even plane as it is, up to the border, also one of bytes', () => {
    const floats = gaussianBlur({ width: 5, height: 4, data: new Float32Array(20).fill(7.5) }, 3);
    for (const value of floats.data) expect(value).toBeCloseTo(7.5, 4);
    const bytes = gaussianBlur({ width: 5, height: 4, data: new Uint8Array(20).fill(200) }, 3);
    expect([...bytes.data]).toEqual(new Array<number>(20).fill(200));
  });

  it('does not change the plane it is given', () => {
    const data = impulse(5, 100);
    gaussianBlur({ width: 5, height: 5, data }, 1);
    expect(data[12]).toBe(100);
  });

  it.each([0, -1, NaN, Infinity])('refuses sigma %d', (sigma) => {
    expect(() => gaussianBlur({ width: 1, height: 1, data: new Float32Array(1) }, sigma)).toThrow(
      `Expected sigma to be a number above 0, but got ${String(sigma)}`,
    );
  });
});
