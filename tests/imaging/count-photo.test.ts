import { readFileSync } from 'node:fs';
import { countPhoto } from '@veligrid/imaging';
import type { Detection, PhotoCount } from '@veligrid/model';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';

const samples = new URL('../../sample-images/', import.meta.url).pathname;
const photo = `${samples}drawn/d-hinge_04.jpg`;
const truth = JSON.parse(readFileSync(`${samples}truth/d-hinge_04.json`, 'utf8')) as { um_per_px: number };

const counted = (count: PhotoCount): Detection[] => count.detections.filter((d) => d.counted);

/** Share of `a` that has a partner in `b` within 5 um, and the mean relative difference of their lengths. */
function likeness(
  a: readonly Detection[],
  b: readonly Detection[],
  place: (d: Detection) => readonly [number, number],
): { share: number; difference: number } {
  let partners = 0;
  let difference = 0;
  for (const one of a) {
    const [x, y] = place(one);
    const other = b.find((d) => Math.hypot(d.x - x, d.y - y) * truth.um_per_px < 5);
    if (other === undefined) continue;
    partners++;
    difference += Math.abs((other.lengthUm ?? 0) / (one.lengthUm ?? 1) - 1);
  }
  return { share: partners / a.length, difference: difference / partners };
}

let plain: PhotoCount;
beforeAll(async () => {
  [plain] = await countPhoto(photo, { scaleUmPerPx: truth.um_per_px });
}, 60_000);

async function again(bytes: Buffer, scale = truth.um_per_px): Promise<PhotoCount> {
  const [count] = await countPhoto(bytes, { scaleUmPerPx: scale });
  return count;
}

// Larvae at the edge of being counted may change sides, so one in twenty is let go; lengths may move by far less than the
// 2.5 % that a single length may err.
const SHARE = 0.95;
const DIFFERENCE = 0.012;

describe('laws of a count', () => {
  it('does not change when the photo is turned by 90 degrees', async () => {
    const turned = await again(await sharp(photo).rotate(90).png().toBuffer());
    const like = likeness(counted(plain), counted(turned), (d) => [plain.heightPx - 1 - d.y, d.x]);
    expect(like.share).toBeGreaterThanOrEqual(SHARE);
    expect(like.difference).toBeLessThan(DIFFERENCE);
  }, 60_000);

  it('does not change when the photo is mirrored', async () => {
    const mirrored = await again(await sharp(photo).flop().png().toBuffer());
    const like = likeness(counted(plain), counted(mirrored), (d) => [plain.widthPx - 1 - d.x, d.y]);
    expect(like.share).toBeGreaterThanOrEqual(SHARE);
    expect(like.difference).toBeLessThan(DIFFERENCE);
  }, 60_000);

  it.each([
    ['darker and flatter', 0.8, 10],
    ['brighter and steeper', 1.15, -20],
  ])(
    'does not change when the photo is %s',
    async (_, gain, offset) => {
      const other = await again(await sharp(photo).linear(gain, offset).png().toBuffer());
      const like = likeness(counted(plain), counted(other), (d) => [d.x, d.y]);
      expect(like.share).toBeGreaterThanOrEqual(SHARE);
      expect(like.difference).toBeLessThan(DIFFERENCE);
    },
    60_000,
  );

  it.each([75, 95])(
    'does not change at JPEG quality %i',
    async (quality) => {
      const other = await again(await sharp(photo).jpeg({ quality }).toBuffer());
      const like = likeness(counted(plain), counted(other), (d) => [d.x, d.y]);
      expect(like.share).toBeGreaterThanOrEqual(SHARE);
      expect(like.difference).toBeLessThan(DIFFERENCE);
    },
    60_000,
  );

  it.each([0.7, 1.5])(
    'does not change when the photo is rescaled by %f and the scale with it',
    async (factor) => {
      const width = Math.round(plain.widthPx * factor);
      const other = await again(
        await sharp(photo).resize(width).png().toBuffer(),
        (truth.um_per_px * plain.widthPx) / width,
      );
      const exact = width / plain.widthPx;
      const like = likeness(counted(plain), counted(other), (d) => [d.x, d.y]);
      expect(like.share).toBeLessThan(SHARE); // places differ before they are scaled: the check below can fail
      const scaled = likeness(
        counted(plain).map((d) => ({ ...d, x: (d.x + 0.5) * exact - 0.5, y: (d.y + 0.5) * exact - 0.5 })),
        counted(other),
        (d) => [d.x, d.y],
      );
      expect(scaled.share).toBeGreaterThanOrEqual(SHARE);
      expect(scaled.difference).toBeLessThan(2 * DIFFERENCE);
    },
    60_000,
  );

  it('does not change when the tiles begin elsewhere', async () => {
    // a border of ground moves every tile, and the objects against the cells
    const [left, top] = [37, 53];
    const wider = await sharp(photo).extend({ left, top, extendWith: 'copy' }).png().toBuffer();
    const like = likeness(counted(plain), counted(await again(wider)), (d) => [d.x + left, d.y + top]);
    expect(like.share).toBeGreaterThanOrEqual(SHARE);
    expect(like.difference).toBeLessThan(DIFFERENCE);
  }, 60_000);
});

describe('countPhoto', () => {
  it('counts without any scale and leaves lengths empty', async () => {
    const [count] = await countPhoto(photo, { cell: 'none' });
    expect(count.scale.umPerPx).toBeNull();
    expect(count.warnings.map(({ code }) => code)).toContain('no-scale');
    expect(count.detections.every((d) => d.lengthUm === null)).toBe(true);
    expect(counted(count).length / counted(plain).length).toBeGreaterThan(0.9);
    expect(counted(count).length / counted(plain).length).toBeLessThan(1.1);
  }, 60_000);

  it('refuses an impossible scale, saying what is accepted', async () => {
    await expect(countPhoto(photo, { scaleUmPerPx: -1 })).rejects.toThrow(
      'Expected scaleUmPerPx to be a number of micrometres per pixel from 0.05 to 50, but got -1',
    );
  });

  it.each([
    ['black', 0],
    ['white', 255],
    ['grey', 128],
  ])(
    'finds nothing on a picture that is all %s',
    async (_, value) => {
      const background = { r: value, g: value, b: value };
      const bytes = await sharp({ create: { width: 800, height: 600, channels: 3, background } })
        .png()
        .toBuffer();
      const [count] = await countPhoto(bytes, { scaleUmPerPx: 2 });
      expect(counted(count)).toEqual([]);
    },
    60_000,
  );
});
