import sharp from 'sharp';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { exifScaleHint } from '../../../packages/imaging/src/photo/scale-hint.js';
import { onePage } from './pictures.js';

/** An EXIF block (CIPA DC-008) with one EXIF directory of rationals and shorts. */
function exif(tags: [number, number | [number, number]][]): Buffer {
  const directory = 8 + 2 + 12 + 4;
  const extra = directory + 2 + 12 * tags.length + 4;
  const block = Buffer.alloc(extra + 8 * tags.length);
  block.write('II*\0', 0, 'latin1');
  block.writeUInt32LE(8, 4);
  block.writeUInt16LE(1, 8);
  block.writeUInt16LE(34665, 10);
  block.writeUInt16LE(4, 12);
  block.writeUInt32LE(1, 14);
  block.writeUInt32LE(directory, 18);
  block.writeUInt16LE(tags.length, directory);
  tags.forEach(([tag, value], i) => {
    const at = directory + 2 + 12 * i;
    block.writeUInt16LE(tag, at);
    block.writeUInt16LE(typeof value === 'number' ? 3 : 5, at + 2);
    block.writeUInt32LE(1, at + 4);
    if (typeof value === 'number') {
      block.writeUInt16LE(value, at + 8);
      return;
    }
    block.writeUInt32LE(extra + 8 * i, at + 8);
    block.writeUInt32LE(value[0], extra + 8 * i);
    block.writeUInt32LE(value[1], extra + 8 * i + 4);
  });
  return block;
}

const X = 41486;
const Y = 41487;
const UNIT = 41488;

describe('scale hint', () => {
  it('of a microscope camera is the pitch on the slide', () => {
    // 42,333 px an inch are 25,400 / 42,333 = 0.6000 um a pixel; 14,816 are 1.7144
    const fine = exifScaleHint(
      exif([
        [X, [42_333, 1]],
        [Y, [42_333, 1]],
        [UNIT, 2],
      ]),
    );
    expect(fine?.umPerPx).toBeCloseTo(0.6, 4);
    expect(fine?.from).toBe('exif');
    expect(
      exifScaleHint(
        exif([
          [X, [14_816, 1]],
          [Y, [14_816, 1]],
          [UNIT, 2],
        ]),
      )?.umPerPx,
    ).toBeCloseTo(1.7144, 4);
    expect(
      exifScaleHint(
        exif([
          [X, [5_000, 1]],
          [UNIT, 3],
        ]),
      )?.umPerPx,
    ).toBeCloseTo(2, 9);
  });

  it('takes the heading of a JPEG block or none', () => {
    const block = exif([
      [X, [10_000, 1]],
      [UNIT, 3],
    ]);
    expect(exifScaleHint(Buffer.concat([Buffer.from('Exif\0\0'), block]))?.umPerPx).toBe(1);
  });

  it('is not the sensor pitch of an ordinary camera, which writes its lens', () => {
    const focalLength: [number, [number, number]] = [37386, [50, 1]];
    expect(exifScaleHint(exif([[X, [42_333, 1]], [UNIT, 2], focalLength]))).toBeNull();
  });

  it.each([
    ['72 dpi', 72],
    ['300 dpi', 300],
    ['1,200 dpi', 1200],
    ['nothing', 0],
  ])('ignores %s', (_, dpi) => {
    expect(
      exifScaleHint(
        exif([
          [X, [dpi, 1]],
          [Y, [dpi, 1]],
          [UNIT, 2],
        ]),
      ),
    ).toBeNull();
  });

  it('ignores pixels that are not square, unknown units, and a damaged block', () => {
    expect(
      exifScaleHint(
        exif([
          [X, [42_333, 1]],
          [Y, [40_000, 1]],
          [UNIT, 2],
        ]),
      ),
    ).toBeNull();
    expect(
      exifScaleHint(
        exif([
          [X, [42_333, 1]],
          [UNIT, 1],
        ]),
      ),
    ).toBeNull();
    expect(exifScaleHint(exif([[X, [42_333, 1]]]).subarray(0, 40))).toBeNull();
    expect(exifScaleHint(undefined)).toBeNull();
  });

  it('of a TIFF is its resolution, in inches or centimetres', async () => {
    const tiff = (name: string): string => fileURLToPath(new URL(`reference/${name}`, import.meta.url));
    // written by tifffile with 25400 / 0.6 px an inch
    expect((await onePage(tiff('big.tif'))).scaleHint).toMatchObject({ from: 'tiff' });
    expect((await onePage(tiff('big.tif'))).scaleHint?.umPerPx).toBeCloseTo(0.6, 6);
  });

  it('is read through the door from a JPEG', async () => {
    const grey = sharp(Buffer.alloc(40 * 40 * 3, 90), { raw: { width: 40, height: 40, channels: 3 } });
    const tags = {
      IFD2: { FocalPlaneXResolution: '42333/1', FocalPlaneYResolution: '42333/1', FocalPlaneResolutionUnit: '2' },
    };
    const page = await onePage(await grey.clone().withExif(tags).jpeg().toBuffer());
    expect(page.scaleHint?.umPerPx).toBeCloseTo(0.6, 4);
    const plain = await onePage(await grey.clone().withMetadata({ density: 300 }).jpeg().toBuffer());
    expect(plain.scaleHint).toBeNull();
  });
});
