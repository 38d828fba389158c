import { describe, expect, it } from 'vitest';
import { lineSums } from '../../../packages/imaging/src/grid/line-sums.js';

/** Sum along the line from (start, 0) to (start + shift, rows - 1). */
const at = (result: ReturnType<typeof lineSums>, start: number, shift: number): number =>
  result.sums[shift * result.columns + start + result.rows];

describe('lineSums', () => {
  // 4 x 4, written out so that each sum can be added by eye
  const picture = Float32Array.from([1, 2, 3, 4, 10, 20, 30, 40, 100, 200, 300, 400, 1000, 2000, 3000, 4000]);

  it('adds straight down for shift 0', () => {
    const result = lineSums(picture, 4, 4);
    expect([0, 1, 2, 3].map((start) => at(result, start, 0))).toEqual([1111, 2222, 3333, 4444]);
  });

  it('adds the diagonal for the greatest shift, also from left of the picture', () => {
    const result = lineSums(picture, 4, 4);
    expect(at(result, 0, 3)).toBe(1 + 20 + 300 + 4000);
    expect(at(result, -1, 3)).toBe(10 + 200 + 3000);
    expect(at(result, 3, 3)).toBe(4);
    expect(at(result, -4, 3)).toBe(0);
  });

  it('counts every pixel once for each shift, whatever the size', () => {
    const width = 7;
    const height = 11;
    const values = Float32Array.from({ length: width * height }, (_, i) => (i * 37) % 101);
    const total = values.reduce((sum, value) => sum + value, 0);
    const { rows, columns, sums } = lineSums(values, width, height);
    expect(rows).toBe(16);
    for (let shift = 0; shift < rows; shift++) {
      let sum = 0;
      for (let column = 0; column < columns; column++) sum += sums[shift * columns + column];
      expect(sum).toBe(total);
    }
  });

  it('is greatest along a drawn line', () => {
    const size = 64;
    const values = new Float32Array(size * size);
    for (let row = 0; row < size; row++) values[row * size + 10 + Math.round((27 * row) / 63)] = 1;
    const { columns, rows, sums } = lineSums(values, size, size);
    const best = sums.indexOf(Math.max(...sums));
    expect(Math.abs(Math.floor(best / columns) - 27)).toBeLessThanOrEqual(1);
    expect(Math.abs((best % columns) - rows - 10)).toBeLessThanOrEqual(1);
  });
});
