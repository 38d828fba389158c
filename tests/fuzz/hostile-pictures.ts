import { gzipSync } from 'node:zlib';
import { blackPng, tiff } from '../imaging/photo/pictures.ts';

const SVG_OPEN =
  '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="400" height="400">';

const DRAWING = `${SVG_OPEN}<script>alert(1)</script><image xlink:href="file:///etc/passwd" width="400" height="400"/></svg>`;

/** Entities that unfold to a thousand million. */
const ENTITIES = `<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">${['b', 'c', 'd', 'e', 'f', 'g', 'h', 'i']
  .map((name, i) => `<!ENTITY ${name} "${`&${'abcdefgh'[i]};`.repeat(10)}">`)
  .join('')}]>${SVG_OPEN}<text>&i;</text></svg>`;

/** Vector drawings in each way that one can be dressed up: none is a photo. */
export const DRAWINGS: Readonly<Record<string, Buffer>> = {
  plain: Buffer.from(DRAWING),
  'with a declaration': Buffer.from(`<?xml version="1.0" encoding="UTF-8"?>\n${DRAWING}`),
  'with a mark of the byte order': Buffer.from(`\ufeff${DRAWING}`),
  'in UTF-16': Buffer.from(`\ufeff${DRAWING}`, 'utf16le'),
  'after a comment': Buffer.from(`<!-- ${'x'.repeat(2000)} -->${DRAWING}`),
  packed: gzipSync(DRAWING),
  'of entities': Buffer.from(ENTITIES),
};

/** A bitmap's, GIF's or WebP's header that claims a size that its few bytes can't hold. */
function claims(): Buffer[] {
  const bmp = Buffer.alloc(200);
  bmp.write('BM', 'latin1');
  bmp.writeUInt32LE(54, 10);
  bmp.writeUInt32LE(40, 14);
  bmp.writeInt32LE(0x7fffffff, 18);
  bmp.writeInt32LE(-0x80000000, 22);
  bmp.writeUInt16LE(1, 26);
  bmp.writeUInt16LE(24, 28);
  const gif = Buffer.concat([
    Buffer.from('GIF89a', 'latin1'),
    Buffer.from([255, 255, 255, 255, 0x80, 0, 0]),
    Buffer.alloc(40),
  ]);
  const webp = Buffer.concat([
    Buffer.from('RIFF\x40\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0', 'latin1'),
    Buffer.from([255, 255, 255, 255, 255, 255]),
    Buffer.alloc(40),
  ]);
  return [bmp, gif, webp];
}

/** A TIFF of 9,000 directories laid over each other, 20,000 entries each: 180 million in some hundred kilobytes. */
function longChain(): Buffer {
  const [directories, entries] = [9000, 20_000];
  const file = Buffer.alloc(20 + directories * 6 + entries * 12);
  file.write('II*\0', 0, 'latin1');
  file.writeUInt32LE(8, 4);
  for (let i = 0; i < directories; i += 1) {
    const at = 8 + i * 6;
    file.writeUInt16LE(entries, at);
    file.writeUInt32LE(i === directories - 1 ? 0 : at + 6, at + 2 + entries * 12);
  }
  return file;
}

/** A TIFF of many pages with nothing in them. */
function manyPages(pages: number): Buffer {
  const page = 2 + 2 * 12 + 4;
  const file = Buffer.alloc(8 + pages * page);
  file.write('II*\0', 0, 'latin1');
  file.writeUInt32LE(8, 4);
  for (let i = 0; i < pages; i += 1) {
    const at = 8 + i * page;
    file.writeUInt16LE(2, at);
    [256, 257].forEach((tag, entry) => {
      file.writeUInt16LE(tag, at + 2 + entry * 12);
      file.writeUInt16LE(4, at + 4 + entry * 12);
      file.writeUInt32LE(1, at + 6 + entry * 12);
      file.writeUInt32LE(64, at + 10 + entry * 12);
    });
    file.writeUInt32LE(i === pages - 1 ? 0 : at + page, at + page - 4);
  }
  return file;
}

const other = (...starts: readonly string[]): Buffer[] =>
  starts.map((start) => Buffer.concat([Buffer.from(start, 'latin1'), Buffer.alloc(300, 7)]));

/** Files made to harm: small ones that unfold to much, headers that lie, other formats under a photo's name. */
export const hostilePictures = (): readonly Buffer[] => [
  blackPng(60_000, 60_000),
  blackPng(65_500, 100),
  blackPng(1, 100_000),
  tiff([60_000, 60_000], [8], 1, Buffer.alloc(100)),
  tiff([0xffffffff, 0xffffffff], [8, 8, 8], 2, Buffer.alloc(100)),
  tiff([2000, 2000], [32], 1, Buffer.alloc(100)),
  tiff([2000, 2000], [12], 1, Buffer.alloc(100)),
  tiff([2000, 2000], [64, 64, 64], 2, Buffer.alloc(100)),
  longChain(),
  manyPages(3000),
  ...claims(),
  ...Object.values(DRAWINGS),
  ...other(
    '%PDF-1.7\n',
    '%!PS-Adobe-3.0 EPSF-3.0\n',
    'P6 90000 90000 255\n',
    'PK\x03\x04',
    '<html><script>',
    '#!/bin/sh\n',
  ),
  ...other(
    '#?RADIANCE\n',
    'SIMPLE  =                    T',
    '\xff\x0a',
    '\0\0\0\x0cjP  ',
    '\x76\x2f\x31\x01',
    'GIF8',
    'BM',
  ),
];
