/**
 * Image file directories of TIFF 6.0 (section 2) and of its 64-bit extension; EXIF uses the same form. Only the few
 * numbers are read that say how pages and pixels are stored, never the pixels.
 */

/** Tags by number; at most the first eight values of each, the bytes of the description up to 64 KiB. */
export type Ifd = ReadonlyMap<number, readonly number[]>;

/** Tags used here, named as in TIFF 6.0 and EXIF 2.32 (CIPA DC-008). */
export const TAG = {
  newSubfileType: 254,
  imageWidth: 256,
  imageLength: 257,
  bitsPerSample: 258,
  photometric: 262,
  imageDescription: 270,
  orientation: 274,
  samplesPerPixel: 277,
  xResolution: 282,
  yResolution: 283,
  planarConfiguration: 284,
  resolutionUnit: 296,
  tileWidth: 322,
  sampleFormat: 339,
  exifIfd: 34665,
  fNumber: 33437,
  focalLength: 37386,
  focalPlaneXResolution: 41486,
  focalPlaneYResolution: 41487,
  focalPlaneResolutionUnit: 41488,
} as const;

const MOST_PAGES = 10_000;
/** Entries of all directories together; pages have some 20 each. Overlapping ones would else take minutes to read. */
const MOST_ENTRIES = 400_000;
const MOST_VALUES = 8;
const MOST_DESCRIPTION = 65_536;
const BYTES_OF_TYPE = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4, 0, 0, 8, 8, 8];

/** Cursor over the file that knows the byte order and the width of offsets. */
interface Source {
  readonly view: DataView;
  readonly little: boolean;
  readonly big: boolean;
  /** Entries that may still be read. */
  left: number;
}

function readValue({ view, little }: Source, type: number, at: number): number {
  switch (type) {
    case 3:
      return view.getUint16(at, little);
    case 4:
    case 13:
      return view.getUint32(at, little);
    case 5:
      return view.getUint32(at, little) / view.getUint32(at + 4, little);
    case 8:
      return view.getInt16(at, little);
    case 9:
      return view.getInt32(at, little);
    case 10:
      return view.getInt32(at, little) / view.getInt32(at + 4, little);
    case 11:
      return view.getFloat32(at, little);
    case 12:
      return view.getFloat64(at, little);
    case 16:
    case 18:
      return Number(view.getBigUint64(at, little));
    default:
      return view.getUint8(at);
  }
}

function readOffset({ view, little, big }: Source, at: number): number {
  return big ? Number(view.getBigUint64(at, little)) : view.getUint32(at, little);
}

function readEntry(source: Source, at: number): readonly [number, readonly number[]] {
  const { view, little, big } = source;
  const tag = view.getUint16(at, little);
  const type = view.getUint16(at + 2, little);
  const count = readOffset(source, at + 4);
  const field = at + (big ? 12 : 8);
  const size = BYTES_OF_TYPE[type] ?? 0;
  const start = size * count <= (big ? 8 : 4) ? field : readOffset(source, field);
  const values: number[] = [];
  const most = tag === TAG.imageDescription ? MOST_DESCRIPTION : MOST_VALUES;
  for (let i = 0; size > 0 && i < Math.min(count, most); i++) {
    values.push(readValue(source, type, start + i * size));
  }
  return [tag, values];
}

function readDirectory(source: Source, at: number): { ifd: Map<number, readonly number[]>; next: number } {
  const { view, little, big } = source;
  const count = big ? Number(view.getBigUint64(at, little)) : view.getUint16(at, little);
  const first = at + (big ? 8 : 2);
  const entryBytes = big ? 20 : 12;
  const ifd = new Map<number, readonly number[]>();
  source.left -= count;
  if (source.left < 0) throw new RangeError('more entries than a photo has');
  for (let i = 0; i < count; i++) {
    const [tag, values] = readEntry(source, first + i * entryBytes);
    ifd.set(tag, values);
  }
  return { ifd, next: readOffset(source, first + count * entryBytes) };
}

function open(bytes: Uint8Array): { source: Source; first: number } {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const little = view.getUint8(0) === 0x49;
  const big = view.getUint16(2, little) === 43;
  const source = { view, little, big, left: MOST_ENTRIES };
  return { source, first: readOffset(source, big ? 8 : 4) };
}

/**
 * Reads the chain of directories of a TIFF file, one a page, with the EXIF directory's tags folded into its page.
 *
 * @param bytes the whole file, beginning with its byte order mark
 * @returns the directories in file order; a damaged tail ends the list, a damaged head gives an empty one
 */
export function readIfds(bytes: Uint8Array): Ifd[] {
  const ifds: Ifd[] = [];
  const seen = new Set<number>();
  try {
    const { source, first } = open(bytes);
    let at = first;
    while (at !== 0 && !seen.has(at) && ifds.length < MOST_PAGES) {
      seen.add(at);
      const { ifd, next } = readDirectory(source, at);
      const exif = ifd.get(TAG.exifIfd)?.[0];
      if (exif !== undefined && !seen.has(exif)) {
        for (const [tag, values] of readDirectory(source, exif).ifd) ifd.set(tag, values);
      }
      ifds.push(ifd);
      at = next;
    }
  } catch (error) {
    // an offset beyond the end of the file
    if (!(error instanceof RangeError)) throw error;
  }
  return ifds;
}

/** First value of a tag, or the fallback when the tag is absent or not a number. */
export function tagValue(ifd: Ifd, tag: number, fallback: number): number {
  const value = ifd.get(tag)?.[0];
  return value === undefined || Number.isNaN(value) ? fallback : value;
}
