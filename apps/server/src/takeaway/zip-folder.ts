import { createReadStream, createWriteStream } from 'node:fs';
import { readdir, rm, stat } from 'node:fs/promises';
import { extname, join, relative, sep } from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { crc32, createDeflateRaw } from 'node:zlib';
import { directory, localHeader, type ZipEntry } from './zip-records.js';

/** Files that are packed already. */
const PACKED: readonly string[] = ['.xlsx', '.jpg', '.jpeg', '.png', ''];

/** Check sum of a file, read as a stream. */
async function crcOf(path: string): Promise<number> {
  let crc = 0;
  for await (const chunk of createReadStream(path) as AsyncIterable<Buffer>) crc = crc32(chunk, crc);
  return crc;
}

/** A file as it will lie in the archive; what can be deflated is deflated beside it first, so that its size is known. */
async function packed(path: string, name: string, offset: number): Promise<ZipEntry & { readonly from: string }> {
  const { size } = await stat(path);
  const crc = await crcOf(path);
  if (PACKED.includes(extname(path).toLowerCase())) {
    return { name, crc32: crc, size, packedSize: size, deflated: false, offset, from: path };
  }
  const from = `${path}.packed`;
  await pipeline(createReadStream(path), createDeflateRaw(), createWriteStream(from));
  return { name, crc32: crc, size, packedSize: (await stat(from)).size, deflated: true, offset, from };
}

/** Files of a folder by name. */
async function filesIn(folder: string): Promise<string[]> {
  const found = await readdir(folder, { recursive: true, withFileTypes: true });
  return found
    .filter((one) => one.isFile())
    .map((one) => join(one.parentPath, one.name))
    .toSorted();
}

/** A folder as the bytes of a ZIP file, one after the other, so that its size costs no memory. */
export async function* zipFolder(folder: string): AsyncGenerator<Uint8Array> {
  const entries: ZipEntry[] = [];
  let offset = 0;
  for (const path of await filesIn(folder)) {
    const { from, ...entry } = await packed(path, relative(folder, path).split(sep).join('/'), offset);
    const header = localHeader(entry);
    yield header;
    yield* createReadStream(from) as Readable as AsyncIterable<Buffer>;
    if (from !== path) await rm(from);
    entries.push(entry);
    offset += header.length + entry.packedSize;
  }
  yield directory(entries, offset);
}
