import { createHash, randomUUID } from 'node:crypto';
import { dirname, join } from 'node:path';
import { makeFolderForGood, type Disk } from './disk.js';

/** Where a file of this name lies below the folder of pictures: two levels, so that no folder grows too large. */
export const pathOf = (folder: string, sha256: string): string =>
  join(folder, sha256.slice(0, 2), sha256.slice(2, 4), sha256);

/** Folder for files that are not yet whole; what a crash left there may be thrown away. */
const unfinishedFolder = (folder: string): string => join(folder, 'unfinished');

/** What a file turned out to be. */
export interface Written {
  readonly sha256: string;
  readonly bytes: number;
}

/** Writes content under a name of its own and answers what it was. */
async function writeUnfinished(disk: Disk, path: string, content: AsyncIterable<Uint8Array>): Promise<Written> {
  const hash = createHash('sha256');
  let bytes = 0;
  async function* hashed(): AsyncIterable<Uint8Array> {
    for await (const chunk of content) {
      hash.update(chunk);
      bytes += chunk.length;
      yield chunk;
    }
  }
  await disk.writeNew(path, hashed());
  return { sha256: hash.digest('hex'), bytes };
}

/**
 * Puts content into its place: written in full and synced under another name, renamed, folder synced. A file that is
 * there already with the right length is kept.
 */
export async function placeFile(disk: Disk, folder: string, content: AsyncIterable<Uint8Array>): Promise<Written> {
  await makeFolderForGood(disk, unfinishedFolder(folder), dirname);
  const unfinished = join(unfinishedFolder(folder), randomUUID());
  try {
    const written = await writeUnfinished(disk, unfinished, content);
    const path = pathOf(folder, written.sha256);
    if ((await disk.size(path)) !== written.bytes) {
      await makeFolderForGood(disk, dirname(path), dirname);
      await disk.rename(unfinished, path);
      await disk.syncFolder(dirname(path));
    }
    return written;
  } finally {
    await disk.remove(unfinished);
  }
}
