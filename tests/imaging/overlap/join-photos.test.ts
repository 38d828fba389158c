import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { countPhoto, joinPhotos, photoView, readPhoto, type ViewedCount } from '@veligrid/imaging';
import { cutPhoto, inPhoto, readSlide, type Cut, type Slide } from '../../support/cut-photo.js';

const sample = (path: string): string => fileURLToPath(new URL(`../../../sample-images/${path}`, import.meta.url));

interface Truth {
  readonly um_per_px: number;
  readonly objects: readonly { readonly polygon: readonly (readonly [number, number])[] }[];
}
const truthOf = (name: string): Truth => JSON.parse(readFileSync(sample(`truth/${name}.json`), 'utf8')) as Truth;

async function viewed(photo: Buffer, name: string, scaleUmPerPx: number): Promise<ViewedCount> {
  const [count] = await countPhoto(photo, { name, scaleUmPerPx });
  for await (const { raster } of readPhoto(photo)) {
    if (count !== undefined) return { count, view: photoView(raster, scaleUmPerPx) };
  }
  throw new Error('no page');
}

/** Larvae of the slide that are counted in one photo at least, and counted finds that are none of them. */
function seenIn(photos: readonly ViewedCount[], { objects }: Truth): { larvae: number; others: number } {
  const larvae = new Set<number>();
  let others = 0;
  photos.forEach(({ count }, k) => {
    const outlines = objects.map(({ polygon }) => polygon.map(([x, y]) => inPhoto(cuts[k], x, y)));
    for (const { x, y } of count.detections.filter(({ counted }) => counted)) {
      const own = outlines.findIndex((outline) => isWithin(x, y, outline));
      if (own < 0) others += 1;
      else larvae.add(own);
    }
  });
  return { larvae: larvae.size, others };
}

/** Whether a point lies within a closed outline. */
function isWithin(x: number, y: number, outline: readonly (readonly [number, number])[]): boolean {
  return outline.reduce((inside, [x1, y1], k) => {
    const [x0, y0] = outline.at(k - 1) ?? [0, 0];
    return y1 > y !== y0 > y && x < ((x0 - x1) * (y - y1)) / (y0 - y1) + x1 ? !inside : inside;
  }, false);
}

const size = { width: 960, height: 700 };
// a and b share a tenth, b and c 35 %, c and d a strip at the corner; e shares nothing with any
const cuts: readonly Cut[] = [
  { ...size, middle: [520, 390], turnDeg: 0, gain: 1, seed: 1 },
  { ...size, middle: [1384, 400], turnDeg: 2.6, gain: 0.8, quality: 75, seed: 2 },
  { ...size, middle: [1480, 800], turnDeg: -0.4, gain: 1.1, seed: 3 },
];
const slideName = 'early_03';

describe('photos of one filling', () => {
  const truth = truthOf(slideName);
  let slide: Slide;
  let photos: ViewedCount[];

  beforeAll(async () => {
    slide = await readSlide(sample(`drawn/${slideName}.jpg`));
    photos = await Promise.all(
      cuts.map(async (cut, k) => viewed(await cutPhoto(slide, cut), `${String(k)}.jpg`, truth.um_per_px)),
    );
  }, 60_000);

  it('are counted as the larvae that are whole in one at least, each once', () => {
    const joined = joinPhotos(photos);
    expect(joined.groups).toEqual([[0, 1, 2]]);
    const seen = seenIn(photos, truth);
    expect(seen.larvae).toBeGreaterThan(80);
    // a find that is no larva of the slide may be there once or in every photo
    expect(joined.counted).toBeGreaterThanOrEqual(seen.larvae - 1);
    expect(joined.counted).toBeLessThanOrEqual(seen.larvae + seen.others + 1);
    expect(seen.others).toBeLessThanOrEqual(4);
    const apart = photos.reduce((sum, { count }) => sum + count.detections.filter((d) => d.counted).length, 0);
    expect(apart).toBeGreaterThan(joined.counted + 10);
  });

  it('lie on each other to two micrometres where they meet', () => {
    for (const {
      photos: [one, two],
      map,
    } of joinPhotos(photos).overlaps) {
      const [from, to] = [cuts[one], cuts[two]];
      const between = [(from.middle[0] + to.middle[0]) / 2, (from.middle[1] + to.middle[1]) / 2] as const;
      const [x, y] = inPhoto(from, ...between);
      const [u, v] = inPhoto(to, ...between);
      const off = Math.hypot(map.a * x + map.b * y + map.c - u, map.d * x + map.e * y + map.f - v);
      expect(off * truth.um_per_px).toBeLessThan(2);
    }
  });

  it('know the same file, and the same photo stored anew', async () => {
    const again = await viewed(
      await sharp(await cutPhoto(slide, cuts[0]))
        .jpeg({ quality: 60 })
        .toBuffer(),
      'again.jpg',
      truth.um_per_px,
    );
    const [first] = photos as [ViewedCount];
    const alone = joinPhotos([first]).counted;
    const twice = joinPhotos([first, { ...first, count: { ...first.count, photo: 'copy.jpg' } }]);
    expect(twice.counted).toBe(alone);
    expect(twice.overlaps).toMatchObject([{ isUnmoved: true }]);
    const stored = joinPhotos([first, again]);
    expect(stored.overlaps).toMatchObject([{ isUnmoved: true }]);
    expect(Math.abs(stored.counted - alone)).toBeLessThanOrEqual(1);
  }, 30_000);

  it('count each place of the area once', () => {
    const [a, b] = photos as [ViewedCount, ViewedCount];
    const field = ({ count, view }: ViewedCount): ViewedCount => ({
      view,
      count: {
        ...count,
        counting: {
          ...count.counting,
          areaMm2: 1,
          shape: { kind: 'field', boxPx: [0, 0, size.width - 1, size.height - 1] },
        },
      },
    });
    // by hand: what they share is about (960 - 864) x (700 - 10) of 960 x 700 pixels, and turning changes little of it
    const area = joinPhotos([field(a), field(b)]).areaMm2 ?? Number.NaN;
    expect(area).toBeGreaterThan(2 - 0.115);
    expect(area).toBeLessThan(2 - 0.085);
  });
});

describe('photos of different places', () => {
  it('are not joined, though the ruled lines lie on each other', async () => {
    const slide = await readSlide(sample('drawn/crowded_03.jpg'));
    const { um_per_px: umPerPx } = truthOf('crowded_03');
    const step = Math.round(1000 / umPerPx);
    const places = [0, 1].flatMap((row) => [0, 1].map((column) => [column, row] as const));
    const photos = await Promise.all(
      places.map(async ([column, row], k) => {
        const cut: Cut = {
          width: 2 * step - 40,
          height: 2 * step - 40,
          middle: [step + 2 * step * column + 60, step + 2 * step * row * 0.99 - 15 * row + 10],
          gain: 0.9 + 0.1 * k,
          seed: k + 1,
        };
        return viewed(await cutPhoto(slide, cut), `${String(k)}.jpg`, umPerPx);
      }),
    );
    expect(joinPhotos(photos).overlaps).toEqual([]);
  }, 60_000);
});
