import { deflateSync, crc32 as zlibCrc32 } from 'node:zlib';
import { readPhoto, type Page, type ReadPhotoOptions } from '../../../packages/imaging/src/photo/read-photo.js';

/** All pages of a photo. */
export async function pagesOf(source: Uint8Array | string, options?: ReadPhotoOptions): Promise<Page[]> {
  const pages: Page[] = [];
  for await (const page of readPhoto(source, options)) pages.push(page);
  return pages;
}

/** The one page of a photo. */
export async function onePage(source: Uint8Array | string, options?: ReadPhotoOptions): Promise<Page> {
  const pages = await pagesOf(source, options);
  if (pages.length !== 1) throw new Error(`expected one page, got ${String(pages.length)}`);
  return pages[0];
}

/** Red, green, blue at a pixel. */
export function pixel({ raster }: Page, column: number, row: number): number[] {
  const at = 3 * (row * raster.width + column);
  return [...raster.data.subarray(at, at + 3)];
}

/** CRC-32 of PNG chunks (ISO/IEC 15948 annex D), for Node versions without it in zlib. */
function crc32(bytes: Uint8Array): number {
  if (typeof zlibCrc32 === 'function') return zlibCrc32(bytes);
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; k++) crc = crc & 1 ? 0xedb88320 ^ (crc >>> 1) : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}

function chunk(type: string, data: Uint8Array): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const framed = Buffer.alloc(body.length + 8);
  framed.writeUInt32BE(data.length, 0);
  body.copy(framed, 4);
  framed.writeUInt32BE(crc32(body), body.length + 4);
  return framed;
}

/** A valid PNG of black pixels, one bit each: some kilobytes that unpack to `width * height` pixels. */
export function blackPng(width: number, height: number): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([1, 0, 0, 0, 0], 8);
  const rows = Buffer.alloc((1 + Math.ceil(width / 8)) * height);
  const parts = [chunk('IHDR', header), chunk('IDAT', deflateSync(rows)), chunk('IEND', Buffer.alloc(0))];
  return Buffer.concat([Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), ...parts]);
}

/** An uncompressed TIFF whose 12-bit samples are packed two to three bytes, rows padded to whole bytes (TIFF 6.0). */
export function packedTiff(width: number, height: number, value: (column: number, row: number) => number): Buffer {
  const rowBytes = Math.ceil((width * 12) / 8);
  const data = Buffer.alloc(rowBytes * height);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const bit = column * 12;
      for (let k = 0; k < 12; k++) {
        if ((value(column, row) >> (11 - k)) & 1) data[row * rowBytes + ((bit + k) >> 3)] |= 0x80 >> ((bit + k) & 7);
      }
    }
  }
  return tiff([width, height], [12], 1, data);
}

/** A little-endian TIFF of one strip from its samples. */
export function tiff(
  [width, height]: readonly [number, number],
  bits: number[],
  photometric: number,
  data: Uint8Array,
): Buffer {
  const entries = 10;
  const extra = 8 + 2 + entries * 12 + 4;
  const start = extra + bits.length * 2;
  const file = Buffer.alloc(start + data.length);
  file.write('II*\0', 0, 'latin1');
  file.writeUInt32LE(8, 4);
  file.writeUInt16LE(entries, 8);
  const tags: [number, number, number, number][] = [
    [256, 4, 1, width],
    [257, 4, 1, height],
    [258, 3, bits.length, bits.length === 1 ? bits[0] : extra],
    [259, 3, 1, 1],
    [262, 3, 1, photometric],
    [273, 4, 1, start],
    [277, 3, 1, bits.length],
    [278, 4, 1, height],
    [279, 4, 1, data.length],
    [284, 3, 1, 1],
  ];
  tags.forEach(([tag, type, count, content], i) => {
    const at = 10 + 12 * i;
    file.writeUInt16LE(tag, at);
    file.writeUInt16LE(type, at + 2);
    file.writeUInt32LE(count, at + 4);
    file.writeUInt32LE(content, at + 8);
  });
  bits.forEach((bit, i) => file.writeUInt16LE(bit, extra + 2 * i));
  file.set(data, start);
  return file;
}

/**
 * A little-endian TIFF of one page with a GPS directory (EXIF 2.32, 4.6.3): latitude north 38 20 59.61, longitude 75 4
 * 70.71, as numerators over 1, 1 and 100.
 */
export function tiffWithPlace(): Buffer {
  const plain = tiff([64, 48], [8], 1, Buffer.alloc(64 * 48, 120));
  const page = plain.subarray(10, 10 + 10 * 12);
  const [directory, gps] = [plain.length, plain.length + 2 + 11 * 12 + 4];
  const numbers = gps + 2 + 2 * 12 + 4;
  const file = Buffer.concat([plain, Buffer.alloc(numbers + 48 - plain.length)]);
  const entry = (at: number, [tag, type, count, value]: readonly number[]): void => {
    file.writeUInt16LE(tag, at);
    file.writeUInt16LE(type, at + 2);
    file.writeUInt32LE(count, at + 4);
    file.writeUInt32LE(value, at + 8);
  };
  file.writeUInt32LE(directory, 4);
  file.writeUInt16LE(11, directory);
  file.set(page, directory + 2);
  entry(directory + 2 + 10 * 12, [0x8825, 4, 1, gps]);
  file.writeUInt16LE(2, gps);
  entry(gps + 2, [2, 5, 3, numbers]);
  entry(gps + 14, [4, 5, 3, numbers + 24]);
  [38, 1, 20, 1, 5961, 100, 75, 1, 4, 1, 7071, 100].forEach((number, i) => {
    file.writeUInt32LE(number, numbers + 4 * i);
  });
  return file;
}
