import { fileURLToPath } from 'node:url';
import sharp, { type Sharp } from 'sharp';
import { describe, expect, it } from 'vitest';
import { onePage, packedTiff, pagesOf, pixel, tiff } from './pictures.js';

const reference = (name: string): string => fileURLToPath(new URL(`reference/${name}`, import.meta.url));

/** 40 x 20 px: left half one colour, right half another. */
function halves(left: number[], right: number[]): Sharp {
  const channels = left.length as 3 | 4;
  const data = Buffer.alloc(40 * 20 * channels);
  for (let i = 0; i < 40 * 20; i++) data.set(i % 40 < 20 ? left : right, i * channels);
  return sharp(data, { raw: { width: 40, height: 20, channels } });
}

const red = [200, 30, 40];
const blue = [20, 60, 220];

describe('a photo of 8 bits', () => {
  it.each(['png', 'webp', 'tiff', 'gif'] as const)('keeps its colours as %s', async (format) => {
    const page = await onePage(
      await halves(red, blue).toFormat(format, { lossless: true, compression: 'lzw' }).toBuffer(),
    );
    expect(page.raster).toMatchObject({ width: 40, height: 20 });
    expect(page.raster.data).toHaveLength(40 * 20 * 3);
    expect(pixel(page, 3, 10)).toEqual(red);
    expect(pixel(page, 36, 10)).toEqual(blue);
    expect(page).toMatchObject({ page: 1, pages: 1, scaleHint: null, warnings: [] });
  });

  it('stands upright by its EXIF orientation', async () => {
    // orientation 6: the stored left is the top of the upright picture
    const page = await onePage(
      await halves(red, blue).withMetadata({ orientation: 6 }).jpeg({ quality: 100 }).toBuffer(),
    );
    expect(page.raster).toMatchObject({ width: 20, height: 40 });
    expect(pixel(page, 10, 3)[0]).toBeGreaterThan(180);
    expect(pixel(page, 10, 36)[2]).toBeGreaterThan(200);
  });

  it('lays transparency on white', async () => {
    const page = await onePage(
      await halves([...red, 255], [0, 0, 0, 0])
        .png()
        .toBuffer(),
    );
    expect(pixel(page, 3, 3)).toEqual(red);
    expect(pixel(page, 30, 3)).toEqual([255, 255, 255]);
  });

  it('turns CMYK into RGB', async () => {
    const cmyk = await halves([255, 255, 255], [0, 0, 0]).toColourspace('cmyk').jpeg({ quality: 100 }).toBuffer();
    expect((await sharp(cmyk).metadata()).space).toBe('cmyk');
    const page = await onePage(cmyk);
    expect(Math.min(...pixel(page, 5, 5))).toBeGreaterThan(240);
    expect(Math.max(...pixel(page, 35, 5))).toBeLessThan(60);
  });

  it('reads the palette of a PNG', async () => {
    const page = await onePage(await halves(red, blue).png({ palette: true, quality: 100 }).toBuffer());
    pixel(page, 3, 10).forEach((value, i) => {
      expect(Math.abs(value - red[i])).toBeLessThanOrEqual(3);
    });
  });

  it('reads the first frame of an animated WebP and says so', async () => {
    const frames = Buffer.concat([Buffer.alloc(30 * 20 * 3, 90), Buffer.alloc(30 * 20 * 3, 180)]);
    const animation = await sharp(frames, { raw: { width: 30, height: 40, channels: 3, pageHeight: 20 } })
      .webp({ lossless: true })
      .toBuffer();
    expect((await sharp(animation).metadata()).pages).toBe(2);
    const page = await onePage(animation);
    expect(page.raster).toMatchObject({ width: 30, height: 20 });
    expect(pixel(page, 5, 5)).toEqual([90, 90, 90]);
    const warning = page.warnings.find(({ code }) => code === 'first-frame-only');
    expect(warning?.message).toContain('2 frames');
  });

  it.each([
    [0, 'black'],
    [255, 'white'],
    [120, 'one shade'],
  ])('warns of a picture of level %i all over', async (level, look) => {
    const { warnings } = await onePage(await halves([level, level, level], [level, level, level]).png().toBuffer());
    expect(warnings).toHaveLength(1);
    expect(warnings[0]).toMatchObject({ code: 'blank-picture' });
    expect(warnings[0].message).toContain(`${look} all over`);
  });
});

// written by tifffile, see reference/make-tiffs.py: a ramp of trunc(1.3 i) that ends at 3992
describe('a TIFF of more than 8 bits', () => {
  /** Level of the ramp at a pixel when its maximum (less 0.01 % of the pixels) is white. */
  const ramp = (column: number, row: number, white: number): number =>
    Math.min(255, Math.round((Math.trunc(1.3 * (64 * row + column)) * 255) / white));

  it.each(['twelve-in-sixteen', 'signed', 'real', 'thirty-two'])('scales %s by its real maximum', async (name) => {
    const page = await onePage(reference(`${name}.tif`));
    for (const [column, row] of [
      [0, 0],
      [10, 20],
      [63, 24],
      [63, 47],
    ]) {
      // one level for rounding of the maximum to a bin
      expect(Math.abs(pixel(page, column, row)[1] - ramp(column, row, 3992))).toBeLessThanOrEqual(1);
    }
  });

  it('says that 12 bits in a 16-bit file were brightened', async () => {
    const page = await onePage(reference('twelve-in-sixteen.tif'));
    expect(page.warnings).toEqual([
      {
        code: 'levels-rescaled',
        message: expect.stringContaining('of 65535; the picture was brightened to its real maximum') as string,
      },
    ]);
  });

  it.each(['rgb', 'planar'])('keeps the proportion of the channels (%s)', async (kind) => {
    const [r, g, b] = pixel(await onePage(reference(`twelve-in-sixteen-${kind}.tif`)), 30, 40);
    expect(r).toBeGreaterThan(200);
    expect(Math.abs(g - r / 2)).toBeLessThanOrEqual(1);
    expect(Math.abs(b - r / 4)).toBeLessThanOrEqual(1);
  });

  it('keeps the exposure of a file that uses its full range', async () => {
    // stored 65535 - 16 v with white as zero, so 16 v of 65535 is seen
    const page = await onePage(reference('white-is-zero.tif'));
    expect(pixel(page, 30, 40)[0]).toBe(Math.round((16 * Math.trunc(1.3 * (64 * 40 + 30)) * 255) / 65_535));
    expect(page.warnings).toEqual([]);
  });

  it('unpacks 12-bit samples, odd widths too', async () => {
    for (const width of [32, 33]) {
      const page = await onePage(packedTiff(width, 20, (column, row) => (column * 100 + row) % 4096));
      expect(page.raster).toMatchObject({ width, height: 20 });
      expect(pixel(page, 5, 7)).toEqual(Array(3).fill(Math.round((507 * 255) / 4095)));
      expect(pixel(page, 31, 19)).toEqual(Array(3).fill(Math.round((3119 * 255) / 4095)));
    }
  });

  it('refuses packed colours rather than mix them up', async () => {
    const packed = tiff([20, 20], [12, 12, 12], 2, Buffer.alloc(20 * 20 * 5));
    await expect(pagesOf(packed, { name: 'scope.tif' })).rejects.toThrow(
      "scope.tif has colours of 12 bits packed across bytes, which can't be read. Save it as TIFF of 8 or 16 bits.",
    );
  });

  it('is not darkened by one hot pixel in 10,000', async () => {
    const samples = new Uint16Array(100 * 100).map((_, i) => (i === 4321 ? 65_535 : (i % 100) * 10));
    const page = await onePage(tiff([100, 100], [16], 1, new Uint8Array(samples.buffer)));
    expect(pixel(page, 99, 0)[0]).toBe(255);
  });
});

describe('pages of a TIFF', () => {
  it('are each a photo', async () => {
    const pages = await pagesOf(reference('three-pages.tif'));
    expect(pages.map(({ page, pages: all }) => [page, all])).toEqual([
      [1, 3],
      [2, 3],
      [3, 3],
    ]);
    expect(pages.map((page) => pixel(page, 0, 0)[0])).toEqual([0, 40, 80]);
  });

  it('leave out a thumbnail', async () => {
    const page = await onePage(reference('thumbnail-first.tif'));
    expect(page.raster).toMatchObject({ width: 64, height: 48 });
    expect(pixel(page, 5, 5)).toEqual([100, 100, 100]);
  });

  it('leave out the levels of a pyramid', async () => {
    const pyramid = await sharp(Buffer.alloc(600 * 400 * 3, 77), { raw: { width: 600, height: 400, channels: 3 } })
      .tiff({ pyramid: true, tile: true, tileWidth: 128, tileHeight: 128 })
      .toBuffer();
    expect((await sharp(pyramid).metadata()).pages).toBeGreaterThan(1);
    const page = await onePage(pyramid);
    expect(page.raster).toMatchObject({ width: 600, height: 400 });
  });

  it('may be of the 64-bit kind, palette or one bit', async () => {
    expect(pixel(await onePage(reference('big.tif')), 63, 47)).toEqual([249, 249, 249]);
    expect(pixel(await onePage(reference('palette.tif')), 63, 47)).toEqual([249, 6, 3]);
    expect(pixel(await onePage(reference('one-bit.tif')), 63, 47)).toEqual([255, 255, 255]);
  });
});
