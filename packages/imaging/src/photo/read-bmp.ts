import { decode } from 'fast-bmp';
import type { Raster } from '../raster.js';

/** Header of a Windows bitmap, as far as it matters here. */
export interface BmpHeader {
  readonly width: number;
  readonly height: number;
  readonly topDown: boolean;
  readonly bitsPerPixel: number;
  readonly compression: number;
  readonly pixelOffset: number;
  readonly paletteOffset: number;
}

const V5_HEADER_BYTES = 124;
const FILE_HEADER_BYTES = 14;

/**
 * Reads the header of a bitmap (BITMAPINFOHEADER and its longer successors, MS-WMF 2.2.2.3).
 *
 * @returns the header, or null when the file is too short or of the older 12-byte kind
 */
export function readBmpHeader(bytes: Uint8Array): BmpHeader | null {
  if (bytes.length < 54) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const headerBytes = view.getUint32(14, true);
  if (headerBytes < 40) return null;
  const signedHeight = view.getInt32(22, true);
  return {
    width: view.getInt32(18, true),
    height: Math.abs(signedHeight),
    topDown: signedHeight < 0,
    bitsPerPixel: view.getUint16(28, true),
    compression: view.getUint32(30, true),
    pixelOffset: view.getUint32(10, true),
    paletteOffset: FILE_HEADER_BYTES + headerBytes,
  };
}

/** Why this bitmap can't be read, or null when it can. */
export function bmpRefusal(header: BmpHeader, bytes: Uint8Array): string | null {
  const { width, height, bitsPerPixel, compression, pixelOffset } = header;
  const plain = compression === 0 || (compression === 3 && bitsPerPixel === 32);
  if (!plain || ![1, 8, 24, 32].includes(bitsPerPixel)) {
    return `is a bitmap of a kind that can't be read (${String(bitsPerPixel)} bits, compression ${String(compression)})`;
  }
  const rowBytes = Math.ceil((width * bitsPerPixel) / 32) * 4;
  return pixelOffset + rowBytes * height > bytes.length ? 'is cut short' : null;
}

/** The same pixels under the one header that the decoder knows: bottom-up, standard masks. */
function normalised(bytes: Uint8Array, header: BmpHeader): Uint8Array {
  const head = FILE_HEADER_BYTES + V5_HEADER_BYTES;
  const pixels = bytes.subarray(header.pixelOffset);
  const copy = new Uint8Array(head + pixels.length);
  const view = new DataView(copy.buffer);
  view.setUint16(0, 0x4d42, true);
  view.setUint32(2, copy.length, true);
  view.setUint32(10, head, true);
  view.setUint32(14, V5_HEADER_BYTES, true);
  view.setInt32(18, header.width, true);
  view.setInt32(22, header.height, true);
  view.setUint16(26, 1, true);
  view.setUint16(28, header.bitsPerPixel, true);
  view.setUint32(54, 0x00ff0000, true);
  view.setUint32(58, 0x0000ff00, true);
  view.setUint32(62, 0x000000ff, true);
  copy.set(pixels, head);
  return copy;
}

/** Red, green, blue of a decoded sample through the palette (blue, green, red, unused), or grey without one. */
function paletteOf(bytes: Uint8Array, header: BmpHeader): (index: number) => readonly [number, number, number] {
  const entries = Math.floor((header.pixelOffset - header.paletteOffset) / 4);
  const white = header.bitsPerPixel === 1 ? 255 : 1;
  return (index) => {
    const at = header.paletteOffset + 4 * index;
    return index < entries ? [bytes[at + 2], bytes[at + 1], bytes[at]] : [index * white, index * white, index * white];
  };
}

/**
 * Decodes a Windows bitmap of 1, 8, 24 or 32 bits without compression to RGB; a fourth channel is ignored, as most
 * programs leave it empty.
 *
 * @param bytes whole file, for which `bmpRefusal` gave null
 * @param header as `readBmpHeader` gave it
 */
export function readBmp(bytes: Uint8Array, header: BmpHeader): Raster {
  const { width, height, topDown, bitsPerPixel } = header;
  const decoded = decode(normalised(bytes, header));
  const samples = decoded.data as Uint8Array;
  const channels = bitsPerPixel <= 8 ? 1 : bitsPerPixel / 8;
  const colour = paletteOf(bytes, header);
  const data = new Uint8Array(width * height * 3);
  for (let row = 0; row < height; row++) {
    let from = (topDown ? height - 1 - row : row) * width * channels;
    for (let to = row * width * 3; to < (row + 1) * width * 3; to += 3, from += channels) {
      if (channels === 1) data.set(colour(samples[from]), to);
      else data.set(samples.subarray(from, from + 3), to);
    }
  }
  return { width, height, data };
}
