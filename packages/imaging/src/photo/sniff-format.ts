/** File formats told apart by their first bytes. `heic` is the HEVC kind that phones write, `avif` its AV1 sister. */
export type PhotoFormat = 'jpeg' | 'png' | 'webp' | 'gif' | 'tiff' | 'bmp' | 'heic' | 'avif';

const HEIC_BRANDS = new Set(['heic', 'heix', 'hevc', 'hevx', 'heim', 'heis', 'mif1', 'msf1']);
const AVIF_BRANDS = new Set(['avif', 'avis']);

const text = (bytes: Uint8Array, from: number, to: number): string =>
  String.fromCharCode(...bytes.subarray(from, Math.min(to, bytes.length)));

/** ISO/IEC 14496-12 file type box: size, `ftyp`, major brand, version, then the compatible brands. */
function sniffBoxes(bytes: Uint8Array): PhotoFormat | null {
  if (text(bytes, 4, 8) !== 'ftyp') return null;
  const end = Math.min(((bytes[2] ?? 0) << 8) | (bytes[3] ?? 0), bytes.length, 256);
  const brands = [text(bytes, 8, 12)];
  for (let at = 16; at + 4 <= end; at += 4) brands.push(text(bytes, at, at + 4));
  if (brands.some((brand) => AVIF_BRANDS.has(brand))) return 'avif';
  return brands.some((brand) => HEIC_BRANDS.has(brand)) ? 'heic' : null;
}

/** TIFF 6.0 section 2: byte order, then 42; 43 for files over 4 GB. */
function isTiff(bytes: Uint8Array): boolean {
  const order = text(bytes, 0, 2);
  if (order === 'II') return (bytes[2] === 42 || bytes[2] === 43) && bytes[3] === 0;
  return order === 'MM' && bytes[2] === 0 && (bytes[3] === 42 || bytes[3] === 43);
}

/** Bytes 6 to 9 of a bitmap are reserved and zero, which keeps out text that begins with BM. */
const isBmp = (bytes: Uint8Array): boolean =>
  text(bytes, 0, 2) === 'BM' && bytes.subarray(6, 10).every((byte) => byte === 0);

/** Formats known by their first bytes, each with its test. */
const SIGNATURES: readonly (readonly [PhotoFormat, (bytes: Uint8Array) => boolean])[] = [
  ['jpeg', (bytes) => text(bytes, 0, 3) === '\xff\xd8\xff'],
  ['png', (bytes) => text(bytes, 0, 8) === '\x89PNG\r\n\x1a\n'],
  ['webp', (bytes) => text(bytes, 0, 4) === 'RIFF' && text(bytes, 8, 12) === 'WEBP'],
  ['gif', (bytes) => text(bytes, 0, 4) === 'GIF8'],
  ['tiff', isTiff],
  ['bmp', isBmp],
];

/**
 * Tells the format of a photo from its content; the file name is never trusted.
 *
 * @param bytes the file, or at least its first 256 bytes
 * @returns the format, or null when these are not the first bytes of a photo
 */
export function sniffFormat(bytes: Uint8Array): PhotoFormat | null {
  if (bytes.length < 12) return null;
  return SIGNATURES.find(([, test]) => test(bytes))?.[0] ?? sniffBoxes(bytes);
}
