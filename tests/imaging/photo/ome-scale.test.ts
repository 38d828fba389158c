import { describe, expect, it } from 'vitest';
import { TAG, type Ifd } from '../../../packages/imaging/src/photo/ifd.js';
import { omeScaleHint } from '../../../packages/imaging/src/photo/scale-hint.js';
import { onePage } from './pictures.js';

/** OME-XML with one image for each run of attributes of Pixels (OME 2016-06 schema). */
const xml = (...pixels: string[]): string =>
  `<?xml version="1.0" encoding="UTF-8"?><OME xmlns="http://www.openmicroscopy.org/Schemas/OME/2016-06">${pixels
    .map((text, k) => `<Image ID="Image:${String(k)}"><Pixels ID="Pixels:${String(k)}" ${text} SizeX="40"/></Image>`)
    .join('')}</OME>`;
const ifd = (text: string): Ifd => new Map([[TAG.imageDescription, [...new TextEncoder().encode(text)]]]);
const hint = (...pixels: string[]): number | undefined => omeScaleHint(ifd(xml(...pixels)))?.umPerPx;

/** A grey TIFF of 40 x 40 px (TIFF 6.0) with a description and a resolution in pixels a millimetre. */
function tiff(description: string, perMillimetre: number): Buffer {
  const text = Buffer.from(`${description}\0`, 'utf8');
  const pixels = Buffer.from(Array.from({ length: 1600 }, (_, k) => 80 + (k % 90)));
  const entries = 13;
  const extra = 8 + 2 + 12 * entries + 4;
  const textAt = extra + 8;
  const pixelsAt = textAt + text.length;
  const head = Buffer.alloc(textAt);
  head.write('II*\0', 0, 'latin1');
  head.writeUInt32LE(8, 4);
  head.writeUInt16LE(entries, 8);
  // tag, type (2 text, 3 short, 4 long, 5 rational), count, value or its place; 3 in 296 is centimetres
  const rows = [
    [256, 3, 1, 40],
    [257, 3, 1, 40],
    [258, 3, 1, 8],
    [259, 3, 1, 1],
    [262, 3, 1, 1],
    [270, 2, text.length, textAt],
    [273, 4, 1, pixelsAt],
    [277, 3, 1, 1],
    [278, 3, 1, 40],
    [279, 4, 1, 1600],
    [282, 5, 1, extra],
    [283, 5, 1, extra],
    [296, 3, 1, 3],
  ];
  rows.forEach(([tag = 0, type = 0, count = 0, value = 0], k) => {
    const at = 10 + 12 * k;
    head.writeUInt16LE(tag, at);
    head.writeUInt16LE(type, at + 2);
    head.writeUInt32LE(count, at + 4);
    head.writeUInt32LE(value, at + 8);
  });
  head.writeUInt32LE(10 * perMillimetre, extra);
  head.writeUInt32LE(1, extra + 4);
  return Buffer.concat([head, text, pixels]);
}

describe('scale hint of OME-XML', () => {
  it('is the physical size, in micrometres unless another unit is named', () => {
    expect(hint('PhysicalSizeX="0.65" PhysicalSizeY="0.65"')).toBeCloseTo(0.65, 12);
    expect(hint('PhysicalSizeX="650" PhysicalSizeXUnit="nm" PhysicalSizeY="650" PhysicalSizeYUnit="nm"')).toBeCloseTo(
      0.65,
      12,
    );
    expect(hint("PhysicalSizeX='0.0016' PhysicalSizeXUnit='mm'")).toBeCloseTo(1.6, 12);
    expect(hint('PhysicalSizeX="1.1" PhysicalSizeXUnit="µm" PhysicalSizeY="1.1" PhysicalSizeYUnit="µm"')).toBeCloseTo(
      1.1,
      12,
    );
  });

  it('is none where there is no size, no unit of length, no square pixel, or no one size', () => {
    expect(hint('SizeY="4"')).toBeUndefined();
    expect(hint('PhysicalSizeX="0.65" PhysicalSizeXUnit="pixel"')).toBeUndefined();
    expect(hint('PhysicalSizeX="0.65" PhysicalSizeY="0.70"')).toBeUndefined();
    expect(hint('PhysicalSizeX="0.65"', 'PhysicalSizeX="1.3"')).toBeUndefined();
    expect(hint('PhysicalSizeX="0.65"', 'PhysicalSizeX="0.65"')).toBeCloseTo(0.65, 12);
    expect(hint('PhysicalSizeX="120"')).toBeUndefined();
    expect(omeScaleHint(ifd('a plain description, PhysicalSizeX="0.65"'))).toBeNull();
    expect(omeScaleHint(new Map())).toBeNull();
  });

  it('is read through the door from a TIFF, before its resolution tags', async () => {
    const description = xml('PhysicalSizeX="0.75" PhysicalSizeY="0.75"');
    const bytes = tiff(description, 1000);
    const page = await onePage(bytes);
    expect(page.scaleHint).toEqual({ umPerPx: 0.75, from: 'ome' });
    expect((await onePage(tiff('taken on Monday', 1000))).scaleHint).toEqual({ umPerPx: 1, from: 'tiff' });
  });
});
