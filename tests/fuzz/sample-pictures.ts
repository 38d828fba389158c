import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { encode } from 'fast-bmp';
import sharp, { type Sharp } from 'sharp';
import { seededRandom } from '../support/seeded-random.ts';

const WIDTH = 96;
const HEIGHT = 64;

/** Real TIFF files of the tests of reading, by other programs than ours. */
const REFERENCE = join(import.meta.dirname, '../imaging/photo/reference');

const place = { IFD0: { Make: 'Bench camera' }, IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '38/1 20/1 5961/100' } };

/** Colours that don't compress to nothing, so that a flipped byte meets data. */
function noise(channels: 3 | 4): Sharp {
  const random = seededRandom(channels);
  const data = Buffer.from(Array.from({ length: WIDTH * HEIGHT * channels }, () => 90 + Math.floor(random() * 90)));
  return sharp(data, { raw: { width: WIDTH, height: HEIGHT, channels } });
}

async function animation(format: 'gif' | 'webp'): Promise<Buffer> {
  const frames = await Promise.all(
    ['#888', '#555', '#aaa'].map((background) =>
      sharp({ create: { width: WIDTH, height: HEIGHT, channels: 3, background } })
        .png()
        .toBuffer(),
    ),
  );
  return sharp(frames, { join: { animated: true } })
    .toFormat(format)
    .toBuffer();
}

function bitmap(): Buffer {
  const random = seededRandom(9);
  const data = new Uint8Array(Array.from({ length: WIDTH * HEIGHT * 3 }, () => Math.floor(random() * 256)));
  return Buffer.from(encode({ width: WIDTH, height: HEIGHT, channels: 3, bitsPerPixel: 24, data }));
}

/** Small pictures of every format that is read, each whole and right. */
export async function samplePictures(): Promise<readonly Buffer[]> {
  const made = [
    noise(3).withExif(place).jpeg(),
    noise(3).jpeg({ progressive: true }),
    noise(3).toColourspace('cmyk').jpeg(),
    noise(4).withExif(place).png(),
    noise(3).png({ progressive: true }),
    noise(3).png({ palette: true }),
    noise(3).toColourspace('rgb16').png(),
    noise(3).withExif(place).webp(),
    noise(4).webp({ lossless: true }),
    noise(3).avif(),
    noise(3).withExif(place).tiff({ compression: 'lzw' }),
    noise(3).tiff({ compression: 'none' }),
    noise(3).tiff({ compression: 'deflate', tile: true, pyramid: true, tileWidth: 16, tileHeight: 16 }),
    noise(3).tiff({ compression: 'jpeg' }),
  ].map((picture) => picture.toBuffer());
  const real = readdirSync(REFERENCE).filter((name) => name.endsWith('.tif'));
  return [
    ...(await Promise.all(made)),
    await animation('gif'),
    await animation('webp'),
    bitmap(),
    ...real.map((name) => readFileSync(join(REFERENCE, name))),
  ];
}
