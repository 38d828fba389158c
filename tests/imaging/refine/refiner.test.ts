import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { outlineMoments } from '../../../packages/imaging/src/measure/outline-moments.js';
import { readPhoto } from '../../../packages/imaging/src/photo/read-photo.js';
import { loadRefiner } from '../../../packages/imaging/src/refine/refiner.js';

const samples = new URL('../../../sample-images/', import.meta.url).pathname;

interface Shape {
  readonly polygon: readonly (readonly [number, number])[];
  readonly centroid_px: readonly [number, number];
  readonly area_um2: number;
  readonly hard: boolean;
  readonly cut_by_frame: boolean;
}

describe('loadRefiner', () => {
  it.each([1.06, 0.94])(
    'puts outlines that are %f times too large back on the rim of drawn larvae',
    async (factor) => {
      const truth = JSON.parse(readFileSync(`${samples}truth/early_03.json`, 'utf8')) as {
        um_per_px: number;
        objects: readonly Shape[];
      };
      const { value: page } = await readPhoto(`${samples}drawn/early_03.jpg`).next();
      if (page === undefined) throw new Error('no page');
      const shapes = truth.objects.filter((o) => !o.hard && !o.cut_by_frame).slice(0, 80);
      const coarse = shapes.map(({ polygon, centroid_px: [cx, cy] }) =>
        Float64Array.from(polygon.flatMap(([x, y]) => [cx + (x - cx) * factor, cy + (y - cy) * factor])),
      );
      const refiner = await loadRefiner();
      const refined = await refiner.refine(page.raster, coarse);
      await refiner.release();
      const error = refined.map((outline, k) => {
        const diameter = Math.sqrt(Math.abs(outlineMoments(outline).areaPx2)) * truth.um_per_px;
        return diameter / Math.sqrt(shapes[k].area_um2) - 1;
      });
      const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
      expect(Math.abs(mean(error))).toBeLessThan(0.02);
      expect(mean(error.map(Math.abs))).toBeLessThan(0.03);
    },
    60_000,
  );

  it('leaves an outline alone that holds no middle', async () => {
    const refiner = await loadRefiner();
    const outline = Float64Array.from([0, 0, 10, 0, 20, 0]);
    const data = new Uint8Array(30 * 30 * 3).fill(128);
    const [one] = await refiner.refine({ width: 30, height: 30, data }, [outline]);
    await refiner.release();
    expect(one).toBe(outline);
  });
});
