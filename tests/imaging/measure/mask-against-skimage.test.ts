import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { measureMask, type MeasuredPatch } from '../../../packages/imaging/src/measure/measure-mask.js';
import { readGrey } from '../../support/read-grey.js';

interface Shape {
  readonly name: string;
  readonly area: number;
  readonly x: number;
  readonly y: number;
  readonly feretDiameterMax: number;
  readonly perimeter: number;
  readonly perimeterCrofton: number;
  readonly solidity: number;
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
  /** Measures of the shape itself, before it was drawn in pixels. */
  readonly true: Readonly<Record<'area' | 'perimeter' | 'maxFeret' | 'solidity', number>> | null;
}

/** scikit-image's regionprops of tests/data/shapes/shapes.png; the script that made them stands in the file. */
const reference = JSON.parse(
  readFileSync(new URL('../../reference/skimage-regionprops.json', import.meta.url), 'utf8'),
) as { readonly by: string; readonly shapes: readonly Shape[] };

describe(`measureMask against ${reference.by}`, () => {
  let patches: readonly MeasuredPatch[] = [];
  beforeAll(async () => {
    patches = measureMask(await readGrey(new URL('../../data/shapes/shapes.png', import.meta.url).pathname));
  });

  it('finds every shape', () => {
    expect(patches).toHaveLength(reference.shapes.length);
  });

  it.each(reference.shapes)('$name', (shape) => {
    const patch = patches.find(({ measures }) => Math.hypot(measures.x - shape.x, measures.y - shape.y) < 3);
    if (patch === undefined) throw new Error('no patch where the shape is');
    const { measures } = patch;
    const radius = Math.sqrt(shape.area / Math.PI);
    // The outline is made to enclose as much as the pixels cover.
    expect(measures.areaPx2).toBeCloseTo(shape.area, 4);
    expect(Math.abs(measures.x - shape.x)).toBeLessThan(0.1);
    expect(Math.abs(measures.y - shape.y)).toBeLessThan(0.1);
    // scikit-image takes the moments of points at pixel centres; those of the squares are 1/12 more.
    const spread = shape.xx + shape.yy;
    expect(Math.abs(measures.xx - shape.xx - 1 / 12)).toBeLessThan(0.012 * spread);
    expect(Math.abs(measures.yy - shape.yy - 1 / 12)).toBeLessThan(0.012 * spread);
    expect(Math.abs(measures.xy - shape.xy)).toBeLessThan(0.012 * spread);
    // It runs round whole pixels, up to 1/2 px more at either end; here corners are rounded by as much again.
    expect(measures.feret.maxPx - shape.feretDiameterMax).toBeGreaterThan(-1.7);
    expect(measures.feret.maxPx - shape.feretDiameterMax).toBeLessThan(0.1);
    // Its hull is that of whole pixels, half a pixel wider all round; a convex shape then has less than 1.
    expect(Math.abs(measures.solidity - shape.solidity)).toBeLessThan(0.02 + 0.5 / radius);
    // Its estimates err themselves on straight sides: the former by up to 6 % too long, Crofton's by up to 6 % too short.
    expect(Math.abs(measures.perimeterPx / shape.perimeter - 1)).toBeLessThan(0.075);
    expect(Math.abs(measures.perimeterPx / shape.perimeterCrofton - 1)).toBeLessThan(0.05);
  });

  it.each(reference.shapes.filter((shape) => shape.true !== null && shape.area > 150))(
    '$name: no farther from the shape itself than the reference is, or within 2.5 %',
    ({ x, y, true: truth, ...by }) => {
      const patch = patches.find(({ measures }) => Math.hypot(measures.x - x, measures.y - y) < 3);
      if (patch === undefined || truth === null) throw new Error('no patch where the shape is');
      const { perimeterPx, feret, solidity } = patch.measures;
      const error = (value: number, wanted: number): number => Math.abs(value / wanted - 1);
      const least = Math.min(error(by.perimeter, truth.perimeter), error(by.perimeterCrofton, truth.perimeter));
      expect(error(perimeterPx, truth.perimeter)).toBeLessThan(Math.max(0.025, least));
      expect(error(feret.maxPx, truth.maxFeret)).toBeLessThan(
        Math.max(0.025, error(by.feretDiameterMax, truth.maxFeret)),
      );
      expect(error(solidity, truth.solidity)).toBeLessThan(Math.max(0.025, error(by.solidity, truth.solidity)));
    },
  );
});
