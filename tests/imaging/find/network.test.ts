import { describe, expect, it } from 'vitest';
import { readFinderModel } from '../../../packages/imaging/src/find/finder-model.js';
import { loadFinder } from '../../../packages/imaging/src/find/finder.js';
import { readPhoto } from '../../../packages/imaging/src/photo/read-photo.js';

const photo = new URL('../../../sample-images/drawn/d-hinge_04.jpg', import.meta.url).pathname;

describe('the two runtimes of the finder', () => {
  it('find the same objects in one picture, outlines within a tenth of a pixel', async () => {
    const { value: page } = await readPhoto(photo).next();
    if (page === undefined) throw new Error('no page');
    const frame = { kind: 'frame', ground: 'light' } as const;
    const [native, wasm] = await Promise.all([loadFinder({ runtime: 'native' }), loadFinder({ runtime: 'wasm' })]);
    expect([native.runtime, wasm.runtime]).toEqual(['native', 'wasm']);
    const first = await native.find(page.raster, frame, 2);
    const second = await wasm.find(page.raster, frame, 2);
    await Promise.all([native.release(), wasm.release()]);
    expect(first.length).toBeGreaterThan(30);
    expect(second).toHaveLength(first.length);
    for (const [k, one] of first.entries()) {
      expect(Math.hypot(second[k].x - one.x, second[k].y - one.y)).toBeLessThan(0.1);
      expect(Math.abs(second[k].score - one.score)).toBeLessThan(0.01);
      expect(second[k].kind).toBe(one.kind);
      for (let i = 0; i < one.outline.length; i++)
        expect(Math.abs(second[k].outline[i] - one.outline[i])).toBeLessThan(0.1);
    }
  }, 120_000);
});

describe('the committed finder', () => {
  it('is under 4 MB with the refiner, and names a kind for every class', async () => {
    const model = await readFinderModel();
    expect(model.network.byteLength).toBeLessThan(3.9e6);
    expect(Object.keys(model.kindOf)).toEqual(model.classes.slice(0, -1));
  });
});
