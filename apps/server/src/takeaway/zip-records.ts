/**
 * Records of a ZIP file (PKWARE APPNOTE 6.3.10), little-endian. Sizes and offsets beyond 32 bits go into the ZIP64 extra
 * field, so that archives of any size can be read.
 */

/** A file of the archive. */
export interface ZipEntry {
  /** With `/` between folders. */
  readonly name: string;
  readonly crc32: number;
  readonly size: number;
  /** Bytes as they lie in the archive; the same as `size` where nothing is deflated. */
  readonly packedSize: number;
  readonly deflated: boolean;
  /** Where its local header begins. */
  readonly offset: number;
}

const MOST_32 = 0xffff_ffff;
const MOST_16 = 0xffff;
/** Version 4.5 of the format, which has ZIP64. */
const VERSION = 45;
/** Names are UTF-8. */
const UTF8 = 0x0800;
/** 1 January 1980, the first day that the format has: archives of the same content are the same. */
const DAY = 0x0021;

const u16 = (value: number): Buffer => {
  const bytes = Buffer.alloc(2);
  bytes.writeUInt16LE(value);
  return bytes;
};
const u32 = (value: number): Buffer => {
  const bytes = Buffer.alloc(4);
  bytes.writeUInt32LE(value);
  return bytes;
};
const u64 = (value: number): Buffer => {
  const bytes = Buffer.alloc(8);
  bytes.writeBigUInt64LE(BigInt(value));
  return bytes;
};

/** The 32-bit field of a number, or all ones where the extra field has it. */
const field = (value: number): Buffer => u32(Math.min(value, MOST_32));

/** The ZIP64 extra field with those numbers that need it; empty when none does. */
function extra64(values: readonly number[]): Buffer {
  const large = values.filter((value) => value >= MOST_32).map(u64);
  return large.length === 0 ? Buffer.alloc(0) : Buffer.concat([u16(1), u16(8 * large.length), ...large]);
}

/** What local and central headers share. */
const common = ({ deflated, crc32, size, packedSize }: ZipEntry): Buffer =>
  Buffer.concat([
    u16(VERSION),
    u16(UTF8),
    u16(deflated ? 8 : 0),
    u16(0),
    u16(DAY),
    u32(crc32),
    field(packedSize),
    field(size),
  ]);

/** Before the bytes of a file. */
export function localHeader(entry: ZipEntry): Buffer {
  const name = Buffer.from(entry.name, 'utf8');
  const { size, packedSize } = entry;
  // a local header has both sizes or none
  const extra =
    Math.max(size, packedSize) >= MOST_32
      ? Buffer.concat([u16(1), u16(16), u64(size), u64(packedSize)])
      : Buffer.alloc(0);
  const whole = extra.length === 0 ? entry : { ...entry, size: MOST_32, packedSize: MOST_32 };
  return Buffer.concat([u32(0x0403_4b50), common(whole), u16(name.length), u16(extra.length), name, extra]);
}

function centralHeader(entry: ZipEntry): Buffer {
  const name = Buffer.from(entry.name, 'utf8');
  const extra = extra64([entry.size, entry.packedSize, entry.offset]);
  return Buffer.concat([
    ...[u32(0x0201_4b50), u16(VERSION), common(entry), u16(name.length), u16(extra.length)],
    ...[u16(0), u16(0), u16(0), u32(0), field(entry.offset)],
    ...[name, extra],
  ]);
}

/** The directory at the end of an archive that begins at `offset`. */
export function directory(entries: readonly ZipEntry[], offset: number): Buffer {
  const headers = Buffer.concat(entries.map(centralHeader));
  const number = entries.length;
  const large = number >= MOST_16 || headers.length >= MOST_32 || offset >= MOST_32;
  const end64 = Buffer.concat([
    ...[u32(0x0606_4b50), u64(44), u16(VERSION), u16(VERSION), u32(0), u32(0)],
    ...[u64(number), u64(number), u64(headers.length), u64(offset)],
    ...[u32(0x0706_4b50), u32(0), u64(offset + headers.length), u32(1)],
  ]);
  const short = u16(Math.min(number, MOST_16));
  return Buffer.concat([
    headers,
    ...(large ? [end64] : []),
    ...[u32(0x0605_4b50), u16(0), u16(0), short, short, field(headers.length), field(offset), u16(0)],
  ]);
}
