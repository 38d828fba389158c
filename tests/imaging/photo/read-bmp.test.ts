import { encode } from 'fast-bmp';
import { describe, expect, it } from 'vitest';
import { onePage, pixel } from './pictures.js';

const size = 18;

/** A bitmap with the common 40-byte header (MS-WMF 2.2.2.3), rows padded to four bytes, written from the description. */
function bitmap(bits: number, height: number, palette: number[][], row: (y: number) => number[]): Buffer {
  const rowBytes = Math.ceil((size * bits) / 32) * 4;
  const offset = 54 + 4 * palette.length;
  const file = Buffer.alloc(offset + rowBytes * Math.abs(height));
  file.write('BM');
  file.writeUInt32LE(file.length, 2);
  file.writeUInt32LE(offset, 10);
  file.writeUInt32LE(40, 14);
  file.writeInt32LE(size, 18);
  file.writeInt32LE(height, 22);
  file.writeUInt16LE(1, 26);
  file.writeUInt16LE(bits, 28);
  palette.forEach((colour, i) => {
    file.set(colour, 54 + 4 * i);
  });
  for (let y = 0; y < Math.abs(height); y++) file.set(row(y), offset + y * rowBytes);
  return file;
}

const columns = Array.from({ length: size }, (_, x) => x);

describe('a Windows bitmap', () => {
  it('of 24 bits reads bottom-up in red, green, blue', async () => {
    // blue 10 x, green 5, red = stored row, which counts from the bottom
    const page = await onePage(bitmap(24, size, [], (y) => columns.flatMap((x) => [10 * x, 5, y])));
    expect(page.raster).toMatchObject({ width: size, height: size });
    expect(pixel(page, 3, 0)).toEqual([17, 5, 30]);
    expect(pixel(page, 17, 17)).toEqual([0, 5, 170]);
  });

  it('stored top-down stands upright', async () => {
    const page = await onePage(bitmap(24, -size, [], (y) => columns.flatMap((x) => [10 * x, 5, y])));
    expect(pixel(page, 3, 0)).toEqual([0, 5, 30]);
  });

  it('of 32 bits with the common header ignores the fourth byte', async () => {
    const page = await onePage(bitmap(32, size, [], (y) => columns.flatMap((x) => [x, y, 99, 0])));
    expect(pixel(page, 4, 17)).toEqual([99, 0, 4]);
  });

  it('of 8 bits goes through its palette', async () => {
    const palette = Array.from({ length: 256 }, (_, i) => [i, 255 - i, 7, 0]);
    const page = await onePage(bitmap(8, size, palette, () => columns.map((x) => 3 * x)));
    expect(pixel(page, 10, 10)).toEqual([7, 225, 30]);
  });

  it('of one bit goes through its palette', async () => {
    const palette = [
      [0, 0, 0, 0],
      [50, 100, 150, 0],
    ];
    const page = await onePage(bitmap(1, size, palette, () => [0b10100000, 0, 0b01000000]));
    expect([0, 1, 2, 17].map((x) => pixel(page, x, 5))).toEqual([
      [150, 100, 50],
      [0, 0, 0],
      [150, 100, 50],
      [150, 100, 50],
    ]);
  });

  it('as the library writes it comes back', async () => {
    const data = new Uint8Array(size * size * 3).map((_, i) => (i * 31) % 256);
    const page = await onePage(encode({ width: size, height: size, channels: 3, bitsPerPixel: 24, data }));
    expect(page.raster.data).toEqual(data);
  });
});
