import sharp from 'sharp';
import { expect, it } from 'vitest';
import { sniffFormat } from '../../../packages/imaging/src/photo/sniff-format.js';

it.each(['jpeg', 'png', 'webp', 'gif', 'tiff', 'avif'] as const)('knows %s as sharp writes it', async (format) => {
  const grey = sharp(Buffer.alloc(32 * 32 * 3, 90), { raw: { width: 32, height: 32, channels: 3 } });
  expect(sniffFormat(await grey.toFormat(format).toBuffer())).toBe(format);
});

it('knows both byte orders of TIFF and its 64-bit kind', () => {
  const head = (text: string): Uint8Array => Buffer.concat([Buffer.from(text, 'latin1'), Buffer.alloc(12)]);
  expect(sniffFormat(head('MM\0*'))).toBe('tiff');
  expect(sniffFormat(head('II+\0'))).toBe('tiff');
  expect(sniffFormat(head('II!\0'))).toBeNull();
});

it('knows a phone photo by any of its brands', () => {
  const box = (brands: string): Buffer =>
    Buffer.concat([
      Buffer.from([0, 0, 0, 8 + brands.length + 4]),
      Buffer.from(`ftyp${brands.slice(0, 4)}\0\0\0\0${brands.slice(4)}`, 'latin1'),
      Buffer.alloc(8),
    ]);
  expect(sniffFormat(box('heicmif1heic'))).toBe('heic');
  expect(sniffFormat(box('mif1miafheic'))).toBe('heic');
  expect(sniffFormat(box('mif1avifmiaf'))).toBe('avif');
  expect(sniffFormat(box('isommp42'))).toBeNull();
});

it('knows nothing in too few bytes or in text', () => {
  expect(sniffFormat(new Uint8Array(0))).toBeNull();
  expect(sniffFormat(Buffer.from([0xff, 0xd8, 0xff]))).toBeNull();
  expect(sniffFormat(Buffer.from('a long enough piece of text'))).toBeNull();
});
