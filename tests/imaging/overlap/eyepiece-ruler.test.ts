import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { countPhoto, joinPhotos, photoView, readPhoto, type ViewedCount } from '@veligrid/imaging';
import { cutPhoto, inPhoto, readSlide, type Cut } from '../../support/cut-photo.js';
import { rulerSvg } from '../../support/ruler-svg.js';

const sample = (path: string): string => fileURLToPath(new URL(`../../../sample-images/${path}`, import.meta.url));
const slideName = 'early_03';
const { um_per_px: umPerPx } = JSON.parse(readFileSync(sample(`truth/${slideName}.json`), 'utf8')) as {
  um_per_px: number;
};

const size = { width: 900, height: 660 };
// a and b share 45 % of their width, a and d 15 % of their height; c shares nothing with any
const cuts: readonly Cut[] = [
  { ...size, middle: [480, 360], turnDeg: 0, gain: 1, seed: 1 },
  { ...size, middle: [975, 372], turnDeg: 1.2, gain: 0.9, seed: 2 },
  { ...size, middle: [1480, 1130], turnDeg: 0, gain: 1.05, seed: 3 },
  { ...size, middle: [480, 921], turnDeg: -0.8, gain: 1, seed: 4 },
];

/** The eyepiece's ruler lies on the same pixels of every photo, whatever part of the slide is below it. */
async function throughEyepiece(photo: Buffer): Promise<Buffer> {
  const ruler = Buffer.from(rulerSvg({ ...size, divisions: 60, pitchPx: 11 }));
  return sharp(photo)
    .composite([{ input: ruler }])
    .jpeg({ quality: 90 })
    .toBuffer();
}

async function viewed(photo: Buffer, name: string): Promise<ViewedCount> {
  const [count] = await countPhoto(photo, { name, scaleUmPerPx: umPerPx });
  for await (const { raster } of readPhoto(photo)) {
    if (count !== undefined) return { count, view: photoView(raster, umPerPx) };
  }
  throw new Error('no page');
}

describe('photos through an eyepiece with a ruler', () => {
  let photos: ViewedCount[];

  beforeAll(async () => {
    const slide = await readSlide(sample(`drawn/${slideName}.jpg`));
    photos = await Promise.all(
      cuts.map(async (cut, k) => viewed(await throughEyepiece(await cutPhoto(slide, cut)), `${String(k)}.jpg`)),
    );
  }, 120_000);

  it('are joined by what lies on the slide', () => {
    const { overlaps } = joinPhotos(photos.slice(0, 3));
    expect(overlaps).toMatchObject([{ photos: [0, 1], isUnmoved: false }]);
    const [{ map }] = overlaps as [(typeof overlaps)[number]];
    const [x, y] = inPhoto(cuts[0], 730, 366);
    const [u, v] = inPhoto(cuts[1], 730, 366);
    expect(Math.hypot(map.a * x + map.b * y + map.c - u, map.d * x + map.e * y + map.f - v) * umPerPx).toBeLessThan(3);
  });

  it('are joined by a strip of the slide, though more of the ruler than of the slide is alike', () => {
    const [a, , , d] = photos as [ViewedCount, ViewedCount, ViewedCount, ViewedCount];
    expect(joinPhotos([a, d]).overlaps).toMatchObject([{ isUnmoved: false }]);
  });

  it('of different places are not joined by the ruler', () => {
    const [a, b, c] = photos as [ViewedCount, ViewedCount, ViewedCount];
    expect(joinPhotos([a, c]).overlaps).toEqual([]);
    expect(joinPhotos([b, c]).overlaps).toEqual([]);
  });
});
