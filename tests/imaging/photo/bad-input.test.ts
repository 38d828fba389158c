import { mkdtempSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { encode } from 'fast-bmp';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { VeligridError } from '@veligrid/model';
import { blackPng, onePage, pagesOf, tiff } from './pictures.js';

let folder = '';
let jpeg: Buffer = Buffer.alloc(0);

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'veligrid-photo-'));
  const noise = Buffer.from(Array.from({ length: 200 * 150 * 3 }, (_, i) => (i * 7919) % 251));
  jpeg = await sharp(noise, { raw: { width: 200, height: 150, channels: 3 } })
    .jpeg()
    .toBuffer();
});

/** The error that reading a photo ends in. */
async function refusal(source: Uint8Array | string, name: string, maxPixels?: number): Promise<VeligridError> {
  try {
    await pagesOf(source, { name, ...(maxPixels === undefined ? {} : { maxPixels }) });
  } catch (error) {
    if (error instanceof VeligridError) return error;
    throw error;
  }
  throw new Error(`${name} was read`);
}

describe("a photo that can't be read is named, with the reason and what to do", () => {
  it('empty file', async () => {
    const error = await refusal(Buffer.alloc(0), 'a.jpg');
    expect(error.code).toBe('unreadable-photo');
    expect(error.message).toMatch(/^a\.jpg is empty\. Copy it again/);
  });

  it('text named .jpg', async () => {
    const error = await refusal(Buffer.from('Tank 4, day 12: 83 larvae'), 'b.jpg');
    expect(error.message).toBe(
      'b.jpg is not a photo, whatever its name says. Use a JPEG, PNG, TIFF, WebP or BMP photo.',
    );
  });

  it('text that begins like a bitmap, a vector drawing', async () => {
    expect((await refusal(Buffer.from('BM is what we call this batch'), 'c.bmp')).message).toContain('is not a photo');
    const svg = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="40" height="40"/>');
    expect((await refusal(svg, 'd.png')).message).toContain('is not a photo');
  });

  it.each([0.02, 0.5, 0.98])('JPEG cut at %d of its length', async (share) => {
    const error = await refusal(jpeg.subarray(0, Math.floor(jpeg.length * share)), 'cut.jpg');
    expect(error.code).toBe('unreadable-photo');
    expect(error.message).toMatch(/^cut\.jpg is damaged or cut short \(.+\)\. Copy it again/);
    expect(error.message).not.toContain('\n');
  });

  it.each(['png', 'webp', 'tiff', 'gif'] as const)('%s cut in half', async (format) => {
    const whole = await sharp(jpeg).toFormat(format, { compression: 'lzw' }).toBuffer();
    const error = await refusal(whole.subarray(0, Math.floor(whole.length / 2)), `cut.${format}`);
    expect(error.message).toMatch(/^cut\.\w+ is damaged or cut short/);
  });

  it('1 x 1 px', async () => {
    const dot = await sharp(Buffer.alloc(3), { raw: { width: 1, height: 1, channels: 3 } })
      .png()
      .toBuffer();
    expect((await refusal(dot, 'dot.png')).message).toBe(
      'dot.png is 1 x 1 px, too small to show an egg or a larva. Use a photo of at least 16 px a side.',
    );
  });

  it('20,000 x 20,000 px in a few kilobytes, without unpacking it', async () => {
    const bomb = blackPng(20_000, 20_000);
    expect(bomb.length).toBeLessThan(100_000);
    const before = process.memoryUsage().rss;
    const error = await refusal(bomb, 'bomb.png');
    expect(error.message).toBe(
      'bomb.png is 20000 x 20000 px, over the limit of 120 million pixels. Save it at a smaller size.',
    );
    // decoded it would be 400 MB at one byte a pixel
    expect(process.memoryUsage().rss - before).toBeLessThan(50e6);
  });

  it('a page of a TIFF that claims to be huge', async () => {
    const huge = tiff([60_000, 60_000], [8], 1, Buffer.alloc(100));
    expect((await refusal(huge, 'huge.tif')).message).toContain('60000 x 60000 px, over the limit');
  });

  it("over a limit of the caller's own", async () => {
    expect((await refusal(jpeg, 'e.jpg', 29_999)).message).toContain('over the limit of 0.03 million pixels');
    expect((await onePage(jpeg, { maxPixels: 30_000 })).raster.width).toBe(200);
    const wrong = await refusal(jpeg, 'e.jpg', Number.NaN);
    expect(wrong).toMatchObject({
      code: 'bad-argument',
      message: 'Expected maxPixels to be a number above 0, but got NaN',
    });
  });

  it('HEIC without its decoder', async () => {
    const heic = Buffer.concat([Buffer.from([0, 0, 0, 24]), Buffer.from('ftypheic\0\0\0\0mif1heic'), Buffer.alloc(64)]);
    expect((await refusal(heic, 'IMG_1.HEIC')).message).toMatch(
      /^IMG_1\.HEIC is a HEIC photo, .* On the phone choose JPEG .* or install the package heic-decode/,
    );
  });

  it('TIFF without a page', async () => {
    expect((await refusal(Buffer.from('II*\0\0\0\0\0____'), 'f.tif')).message).toContain('no page found');
  });

  it('paths that lead nowhere', async () => {
    const file = join(folder, 'file');
    writeFileSync(file, 'x');
    symlinkSync(join(folder, 'gone'), join(folder, 'dangling.jpg'));
    expect((await refusal(join(folder, 'no.jpg'), 'no.jpg')).message).toBe('no.jpg does not exist. Check the path.');
    expect((await refusal(join(folder, 'dangling.jpg'), 'dangling.jpg')).message).toContain('does not exist');
    expect((await refusal(join(file, 'x.jpg'), 'x.jpg')).message).toContain('is a file, not a folder');
    expect((await refusal(folder, 'folder')).message).toBe('folder is a folder, not a photo. Name a photo in it.');
  });

  it('bitmaps cut short or compressed', async () => {
    const bmp = Buffer.from(
      encode({ width: 20, height: 20, channels: 3, bitsPerPixel: 24, data: new Uint8Array(1200) }),
    );
    expect((await refusal(bmp.subarray(0, 900), 'g.bmp')).message).toBe('g.bmp is cut short. Save it as PNG.');
    bmp.writeUInt32LE(1, 30);
    expect((await refusal(bmp, 'h.bmp')).message).toContain("a kind that can't be read (24 bits, compression 1)");
  });
});

it('the name for messages is the last part of the path', async () => {
  await expect(pagesOf(join(folder, 'gone.png'))).rejects.toThrow(/^gone\.png does not exist/);
});
