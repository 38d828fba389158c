import { describe, expect, it } from 'vitest';
import { remap } from '../../../packages/imaging/src/cv/remap.js';

const plane = { width: 3, height: 2, data: Float32Array.from([0, 10, 20, 100, 110, 120]) };
const at = (...points: readonly [number, number][]): Parameters<typeof remap>[1] => ({
  width: points.length,
  height: 1,
  x: Float32Array.from(points, ([x]) => x),
  y: Float32Array.from(points, ([, y]) => y),
});

describe('remap', () => {
  it('reads pixel centres at whole numbers and goes straight between them', () => {
    const { data } = remap(plane, at([0, 0], [2, 1], [0.5, 0], [1, 0.5], [1.25, 0.75]));
    // The plane is 10 x + 100 y.
    expect([...data]).toEqual([0, 120, 5, 60, 87.5]);
  });

  it('reads the nearest border pixel outside', () => {
    expect([...remap(plane, at([-3, 0], [9, 9])).data]).toEqual([0, 120]);
  });

  it('keeps a straight slope with cubic reading, and follows a parabola better than straight lines do', () => {
    const data = Float32Array.from({ length: 9 }, (_, x) => x * x);
    const row = { width: 9, height: 1, data };
    const position = at([4.5, 0]);
    // 4.5 squared is 20.25; the straight line between 16 and 25 gives 20.5.
    expect(remap(row, position).data[0]).toBeCloseTo(20.5, 4);
    // The cubic kernel with a = -0.75 has the weights -0.09375, 0.59375, 0.59375, -0.09375 half-way (Keys 1981, eq. 4).
    const cubic = 0.59375 * (16 + 25) - 0.09375 * (9 + 36);
    expect(remap(row, position, { interpolation: 'cubic' }).data[0]).toBeCloseTo(cubic, 4);
  });

  it('refuses positions that do not fill the new plane', () => {
    const positions = { width: 2, height: 1, x: new Float32Array(2), y: new Float32Array(1) };
    expect(() => remap(plane, positions)).toThrow('Expected positions.y.data to be 2 numbers long, but got 1');
  });

  it('refuses sides beyond 16 bits', () => {
    const long = { width: 40_000, height: 1, data: new Float32Array(40_000) };
    expect(() => remap(long, at([0, 0]))).toThrow(
      'Expected the longest side to be at most 32766 pixels, but got 40000',
    );
  });
});
