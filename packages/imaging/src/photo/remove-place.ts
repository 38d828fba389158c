import { crc32 } from 'node:zlib';
import { sniffFormat } from './sniff-format.js';

/** Tag of the pointer to the GPS directory (EXIF 2.32, CIPA DC-008, 4.6.3). */
const GPS_IFD = 0x8825;

/** Bytes of one value by TIFF type. */
const BYTES_OF_TYPE = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4];

const ENTRY_BYTES = 12;

/** Directory entries looked at in one structure; a camera writes some hundreds. */
const MOST_ENTRIES = 400_000;

/** A TIFF structure inside a file; offsets in it count from its own beginning. */
interface Tiff {
  readonly view: DataView;
  readonly bytes: Uint8Array;
  readonly little: boolean;
  /** Entries that may still be looked at. */
  left: number;
}

function tiffAt(file: Uint8Array, at: number): Tiff | null {
  const bytes = file.subarray(at);
  if (bytes.length < 8) return null;
  const order = String.fromCharCode(bytes[0] ?? 0, bytes[1] ?? 0);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const little = order === 'II';
  return (little || order === 'MM') && view.getUint16(2, little) === 42
    ? { view, bytes, little, left: MOST_ENTRIES }
    : null;
}

/** Places of the entries of a directory. */
function entries(tiff: Tiff, directory: number): number[] {
  const { view, little } = tiff;
  const count = view.getUint16(directory, little);
  tiff.left -= count;
  if (tiff.left < 0) throw new RangeError('more entries than a photo has');
  return Array.from({ length: count }, (_, i) => directory + 2 + i * ENTRY_BYTES);
}

/** Wipes a directory: what its entries point to, then the entries, so that it holds none. */
function wipe(tiff: Tiff, directory: number): void {
  const { view, bytes, little } = tiff;
  for (const at of entries(tiff, directory)) {
    const size = (BYTES_OF_TYPE[view.getUint16(at + 2, little)] ?? 0) * view.getUint32(at + 4, little);
    const offset = view.getUint32(at + 8, little);
    if (size > 4) bytes.fill(0, offset, offset + size);
    bytes.fill(0, at, at + ENTRY_BYTES);
  }
  view.setUint16(directory, 0, little);
}

/** Wipes the GPS directory of every page; its pointer then leads to an empty one. */
function wipeGps(tiff: Tiff): boolean {
  const { view, little } = tiff;
  const seen = new Set<number>();
  let found = false;
  for (let at = view.getUint32(4, little); at !== 0 && !seen.has(at);) {
    seen.add(at);
    const all = entries(tiff, at);
    for (const entry of all.filter((one) => view.getUint16(one, little) === GPS_IFD)) {
      wipe(tiff, view.getUint32(entry + 8, little));
      found = true;
    }
    at = view.getUint32(at + 2 + all.length * ENTRY_BYTES, little);
  }
  return found;
}

/** Where EXIF data may begin: after the mark of JPEG, HEIC and AVIF, in the chunks of PNG and WebP, or the file itself. */
function exifPlaces(file: Buffer): number[] {
  const format = sniffFormat(file);
  if (format === 'tiff') return [0];
  const mark = { png: 'eXIf', webp: 'EXIF' }[format as 'png'] ?? 'Exif\0\0';
  const skip = format === 'webp' ? 8 : mark.length;
  const places: number[] = [];
  for (let at = file.indexOf(mark, 0, 'latin1'); at !== -1; at = file.indexOf(mark, at + 1, 'latin1')) {
    places.push(at + skip);
    // some writers of WebP put the mark of JPEG before the data
    if (format === 'webp') places.push(at + skip + 6);
  }
  return places;
}

/** Checksum of the PNG chunk whose data begin here, over its name and data (PNG, W3C, 5.3). */
function mendPngChunk(file: Buffer, data: number): void {
  const length = file.readUInt32BE(data - 8);
  file.writeUInt32BE(crc32(file.subarray(data - 4, data + length)), data + length);
}

/** Places written into XMP, as attribute or element; blanked in place. */
const XMP_GPS = /exif:GPS\w+="[^"]*"|<exif:GPS\w+>[^<]*<\/exif:GPS\w+>/g;

function blankXmp(file: Buffer): boolean {
  const from = file.indexOf('exif:GPS', 0, 'latin1');
  if (from === -1) return false;
  const start = Math.max(0, from - 1);
  const end = file.indexOf('</x:xmpmeta>', from, 'latin1');
  const packet = file.toString('latin1', start, end === -1 ? Math.min(file.length, from + 65_536) : end);
  const blank = packet.replace(XMP_GPS, (match) => ' '.repeat(match.length));
  file.write(blank, start, 'latin1');
  return blank !== packet;
}

/**
 * Removes from a photo file where it was taken: the GPS tags of its EXIF and XMP data. Pixels and all else stay as they
 * are, byte for byte; damaged tags are left alone.
 *
 * @param file changed in place, same length
 * @returns whether anything was removed
 */
export function removePlace(file: Buffer): boolean {
  const png = sniffFormat(file) === 'png';
  let found = false;
  for (const at of exifPlaces(file)) {
    try {
      const tiff = tiffAt(file, at);
      if (tiff === null || !wipeGps(tiff)) continue;
      found = true;
      if (png) mendPngChunk(file, at);
    } catch (error) {
      // an offset beyond the end: not the EXIF data it looked like, or cut short
      if (!(error instanceof RangeError)) throw error;
    }
  }
  // compressed XMP text of PNG is not looked into; cameras write none
  return blankXmp(file) || found;
}
