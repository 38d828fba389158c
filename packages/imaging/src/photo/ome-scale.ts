import { TAG, type Ifd } from './ifd.js';

/** Micrometres in the length units of the OME data model (UnitsLength, OME 2016-06 schema) that a microscope photo may have. */
const UM_OF_UNIT: Readonly<Record<string, number>> = {
  pm: 1e-6,
  nm: 1e-3,
  µm: 1,
  μm: 1,
  um: 1,
  mm: 1e3,
  cm: 1e4,
  m: 1e6,
};
const DEFAULT_UNIT = 'µm';

interface PixelSize {
  /** Micrometres. */
  readonly x: number;
  readonly y: number;
}

function attribute(element: string, name: string): string | null {
  const match = new RegExp(`\\s${name}\\s*=\\s*(?:"([^"]*)"|'([^']*)')`, 'u').exec(element);
  return match === null ? null : (match[1] ?? match[2] ?? null);
}

function sizeAlong(element: string, axis: 'X' | 'Y'): number | null {
  const value = Number(attribute(element, `PhysicalSize${axis}`) ?? Number.NaN);
  const unit = UM_OF_UNIT[attribute(element, `PhysicalSize${axis}Unit`) ?? DEFAULT_UNIT];
  return unit !== undefined && value > 0 && value < Infinity ? value * unit : null;
}

function sizeOf(element: string): PixelSize | null {
  const x = sizeAlong(element, 'X');
  const y = sizeAlong(element, 'Y') ?? x;
  return x === null || y === null ? null : { x, y };
}

/**
 * Physical size of a pixel from the OME-XML in a TIFF's ImageDescription (OME 2016-06 schema, Pixels, PhysicalSizeX and Y).
 *
 * @param ifd first directory of the file, which carries the description
 * @returns null without OME-XML, without a size in a unit of length, or when images of the file differ
 */
export function omePixelSize(ifd: Ifd): PixelSize | null {
  const bytes = ifd.get(TAG.imageDescription);
  if (bytes === undefined) return null;
  const text = new TextDecoder().decode(Uint8Array.from(bytes));
  if (!text.includes('OME')) return null;
  const sizes = [...text.matchAll(/<(?:\w+:)?Pixels\b[^>]*>/gu)].map(([element]) => sizeOf(element));
  const first = sizes[0] ?? null;
  const differs = sizes.some((size) => size === null || size.x !== first?.x || size.y !== first.y);
  return differs ? null : first;
}
