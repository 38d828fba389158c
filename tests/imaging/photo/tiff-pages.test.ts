import { describe, expect, it } from 'vitest';
import { TAG, type Ifd } from '../../../packages/imaging/src/photo/ifd.js';
import { photoPages } from '../../../packages/imaging/src/photo/tiff-pages.js';

const page = (width: number, height: number, more: [number, number][] = []): Ifd =>
  new Map([[TAG.imageWidth, width], [TAG.imageLength, height], ...more].map(([tag, value]) => [tag, [value]]));

describe('pages that are photos', () => {
  it('are all of them when they are alike, or merely smaller', () => {
    expect(photoPages([page(600, 400), page(600, 400)])).toEqual([0, 1]);
    expect(photoPages([page(600, 400), page(300, 200)])).toEqual([0, 1]);
  });

  it('are not the tiled halves of a pyramid, marked or not', () => {
    const tiled: [number, number][] = [[TAG.tileWidth, 256]];
    expect(photoPages([page(600, 401, tiled), page(300, 200, tiled), page(150, 100, tiled)])).toEqual([0]);
    const reduced: [number, number][] = [[TAG.newSubfileType, 1]];
    expect(photoPages([page(600, 400), page(300, 200, reduced), page(600, 400)])).toEqual([0, 2]);
  });

  it('are not masks', () => {
    expect(photoPages([page(600, 400), page(600, 400, [[TAG.newSubfileType, 4]])])).toEqual([0]);
  });

  it('are the first when every page is marked as a copy', () => {
    expect(photoPages([page(600, 400, [[TAG.newSubfileType, 1]])])).toEqual([0]);
  });
});
