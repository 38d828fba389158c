import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { cutPyramid, inspectPhoto, previewPicture, pyramidLevels } from '@veligrid/imaging';
import { packedTiff } from './pictures.ts';

const folder = mkdtempSync(join(tmpdir(), 'veligrid-pictures-'));
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** Left half red, right half blue. */
async function redAndBlue(width: number, height: number): Promise<Sharp> {
  const half = { create: { width: width / 2, height, channels: 3 as const, background: '#00f' } };
  const blue = await sharp(half).png().toBuffer();
  return sharp({ create: { width, height, channels: 3, background: '#f00' } }).composite([
    { input: blue, left: width / 2, top: 0 },
  ]);
}

const isBlue = async (picture: Buffer | string, left: number, top: number): Promise<boolean> => {
  const { data } = await sharp(picture)
    .extract({ left, top, width: 1, height: 1 })
    .raw()
    .toBuffer({ resolveWithObject: true });
  return data[2] > 200 && data[0] < 60;
};

describe('previewPicture', () => {
  it('is upright, and 1280 px at most on its longer side', async () => {
    // orientation 6: turned by 90 degrees clockwise to be upright, so the left half comes on top
    const photo = await (await redAndBlue(3000, 2000)).withMetadata({ orientation: 6 }).jpeg().toBuffer();
    const preview = await previewPicture(photo, 1);
    expect(await sharp(preview).metadata()).toMatchObject({ width: 853, height: 1280, format: 'jpeg' });
    expect(await isBlue(preview, 400, 100)).toBe(false);
    expect(await isBlue(preview, 400, 1200)).toBe(true);
  });

  it('is not larger than the photo', async () => {
    const photo = await (await redAndBlue(200, 100)).png().toBuffer();
    expect(await sharp(await previewPicture(photo, 1)).metadata()).toMatchObject({ width: 200, height: 100 });
  });

  it('shows what only the second TIFF decoder reads', async () => {
    const photo = packedTiff(64, 32, (column) => (column < 32 ? 0 : 4095));
    const { data } = await sharp(await previewPicture(photo, 1))
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect(data[0]).toBeLessThan(20);
    expect(data.at(-1)).toBeGreaterThan(235);
  });

  it('refuses a page that is not there', async () => {
    const photo = await (await redAndBlue(64, 64)).png().toBuffer();
    await expect(previewPicture(photo, 2)).rejects.toThrow('The photo has no page 2. Ask for one that it has.');
  });
});

describe('cutPyramid', () => {
  it('cuts every level into squares of 512 px that share 1 px with their neighbours', async () => {
    const photo = await (await redAndBlue(1600, 900)).jpeg().toBuffer();
    const pyramid = join(folder, 'a', 'pyramid');
    await cutPyramid(photo, 1, pyramid);
    // ceil(log2(1600)) = 11; 1600 / 512 = 3.1 columns, 900 / 512 = 1.8 rows
    expect(pyramidLevels(1600, 900)).toBe(11);
    expect(
      readdirSync(pyramid)
        .map(Number)
        .toSorted((a, b) => a - b),
    ).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
    expect(readdirSync(join(pyramid, '11')).toSorted()).toEqual(
      ['0_0.jpeg', '0_1.jpeg', '1_0.jpeg', '1_1.jpeg', '2_0.jpeg', '2_1.jpeg', '3_0.jpeg', '3_1.jpeg'].toSorted(),
    );
    expect(await sharp(join(pyramid, '11', '0_0.jpeg')).metadata()).toMatchObject({ width: 513, height: 513 });
    expect(await sharp(join(pyramid, '11', '1_0.jpeg')).metadata()).toMatchObject({ width: 514, height: 513 });
    // blue begins at 800: 800 - 511 = 289 in the second square, which begins at 511
    expect(await isBlue(join(pyramid, '11', '1_0.jpeg'), 270, 10)).toBe(false);
    expect(await isBlue(join(pyramid, '11', '1_0.jpeg'), 305, 10)).toBe(true);
    expect(readdirSync(join(folder, 'a'))).toEqual(['pyramid']);
  });

  it('may be done twice at a time', async () => {
    const photo = await (await redAndBlue(600, 400)).jpeg().toBuffer();
    const pyramid = join(folder, 'twice');
    await Promise.all([cutPyramid(photo, 1, pyramid), cutPyramid(photo, 1, pyramid)]);
    expect(existsSync(join(pyramid, '10', '0_0.jpeg'))).toBe(true);
    expect(readdirSync(folder).filter((name) => name.startsWith('twice'))).toEqual(['twice']);
  });

  it('leaves nothing of a photo that is damaged', async () => {
    const photo = await (await redAndBlue(600, 400)).png().toBuffer();
    await expect(cutPyramid(photo.subarray(0, 500), 1, join(folder, 'none'))).rejects.toThrow();
    expect(readdirSync(folder).filter((name) => name.startsWith('none'))).toEqual([]);
  });
});

describe('inspectPhoto', () => {
  it('tells the upright size without decoding', async () => {
    const photo = await (await redAndBlue(300, 200)).withMetadata({ orientation: 6 }).jpeg().toBuffer();
    expect(await inspectPhoto(photo)).toEqual([{ page: 1, widthPx: 200, heightPx: 300 }]);
    // cut short
    expect(await inspectPhoto(photo.subarray(0, photo.length - 100))).toEqual([
      { page: 1, widthPx: 200, heightPx: 300 },
    ]);
  });

  it('tells every page of a TIFF', async () => {
    const pages = await inspectPhoto(
      await sharp(join(import.meta.dirname, 'reference/three-pages.tif'), { pages: -1 })
        .tiff()
        .toBuffer(),
    );
    expect(pages.length).toBeGreaterThan(0);
    expect(pages[0]).toMatchObject({ page: 1 });
  });

  it('refuses what is no photo, is damaged, or too large', async () => {
    await expect(inspectPhoto(Buffer.from('a text that calls itself a photo'), { name: 'a.jpg' })).rejects.toThrow(
      'a.jpg is not a photo, whatever its name says.',
    );
    const photo = await (await redAndBlue(300, 200)).png().toBuffer();
    await expect(inspectPhoto(photo.subarray(0, 20), { name: 'a.png' })).rejects.toThrow(
      'a.png is damaged or cut short',
    );
    await expect(inspectPhoto(photo, { name: 'a.png', maxPixels: 50_000 })).rejects.toThrow(
      'a.png is 300 x 200 px, over the limit of 0.05 million pixels. Save it at a smaller size.',
    );
  });
});
