import { describe, expect, it } from 'vitest';
import { resizedPicture } from '../../../packages/imaging/src/photo/resized-picture.js';
import type { Raster } from '../../../packages/imaging/src/raster.js';

const grey = (width: number, height: number, at: (x: number, y: number) => number): Raster => {
  const values = Array.from({ length: width * height }, (_, i) => at(i % width, Math.floor(i / width)));
  return { width, height, data: Uint8Array.from(values.flatMap((v) => [v, v, v])) };
};
const red = ({ data }: Raster): number[] => [...data].filter((_, i) => i % 3 === 0);

async function resized(raster: Raster, width: number, height: number): Promise<Raster> {
  const { data } = await (await resizedPicture(raster, width, height)).rows(0, height);
  return { width, height, data };
}

/** Middle of a blurred spot, weighed by its darkness. */
function middleOfSpot(raster: Raster): readonly [number, number] {
  let [sum, x, y] = [0, 0, 0];
  for (const [i, value] of red(raster).entries()) {
    const weight = 200 - value;
    sum += weight;
    x += weight * (i % raster.width);
    y += weight * Math.floor(i / raster.width);
  }
  return [x / sum, y / sum];
}

describe('resizedPicture', () => {
  it('draws straight lines between pixels when it enlarges by 2', async () => {
    const row = grey(4, 1, (x) => [0, 90, 10, 100][x]);
    expect(red(await resized(row, 8, 1))).toEqual([0, 23, 68, 70, 30, 33, 78, 100]);
  });

  it('gives a picture of the same size back', async () => {
    const picture = grey(5, 4, (x, y) => 10 * x + y);
    expect(red(await resized(picture, 5, 4))).toEqual(red(picture));
  });

  it.each([0.37, 0.5, 0.8, 1.3, 2.4])('leaves a spot where it was when it resizes by %f', async (factor) => {
    const spot = grey(200, 160, (x, y) => 200 - Math.round(150 * Math.exp(-((x - 83) ** 2 + (y - 71) ** 2) / 200)));
    const [width, height] = [Math.round(200 * factor), Math.round(160 * factor)];
    const [x, y] = middleOfSpot(await resized(spot, width, height));
    // a tenth of a source pixel: pixel (x, y) of the target covers the source around (x + 0.5) * source / target - 0.5
    expect(Math.abs(((x + 0.5) * 200) / width - 0.5 - 83)).toBeLessThan(0.1);
    expect(Math.abs(((y + 0.5) * 160) / height - 0.5 - 71)).toBeLessThan(0.1);
  });

  it('keeps the mean light when it shrinks', async () => {
    const ramp = grey(300, 200, (x, y) => Math.round(40 + 0.4 * x + 0.3 * y));
    const mean = (raster: Raster): number => red(raster).reduce((a, b) => a + b, 0) / (raster.width * raster.height);
    expect(Math.abs(mean(await resized(ramp, 94, 63)) - mean(ramp))).toBeLessThan(0.6);
  });

  it.each([0.37, 0.999, 1, 1.7])(
    'makes the rows of a large picture as they are in the whole, at %f',
    async (factor) => {
      const spots = grey(190, 161, (x, y) => (x * x * 7 + y * y * 3 + x * y) % 251);
      const [width, height] = [Math.round(190 * factor), Math.round(161 * factor)];
      const whole = await resized(spots, width, height);
      const picture = await resizedPicture(spots, width, height, 0);
      for (let top = 0; top < height; top += 17) {
        const bottom = Math.min(height, top + 23);
        const { data, ...place } = await picture.rows(top, bottom);
        expect(place).toEqual({ width, top, bottom });
        expect(Buffer.compare(data, whole.data.subarray(3 * width * top, 3 * width * bottom))).toBe(0);
      }
    },
  );
});
