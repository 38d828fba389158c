import { createHash, randomUUID } from 'node:crypto';
import { dirname, join, resolve } from 'node:path';
import { badArgument } from '@veligrid/model';
import { fromRow, toRow } from '../columns.js';
import { together, type Context } from '../context.js';
import type { Files, StoredFile } from '../contract.js';
import { FILE } from '../record-tables.js';
import { onDisk } from './disk-failure.js';
import { makeFolderForGood, type Disk } from './disk.js';

/** Where a file of this name lies below the folder of pictures: two levels, so that no folder grows too large. */
export const pathOf = (folder: string, sha256: string): string =>
  join(folder, sha256.slice(0, 2), sha256.slice(2, 4), sha256);

/** Folder for files that are not yet whole; what a crash left there may be thrown away. */
export const unfinishedFolder = (folder: string): string => join(folder, 'unfinished');

interface Written {
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

async function* one(content: Uint8Array): AsyncIterable<Uint8Array> {
  yield await Promise.resolve(content);
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

/** Picture files below a folder, listed in the database. */
export function pictureFiles(context: Context, disk: Disk, folder: string): Files {
  async function find(sha256: string, { db }: Context = context): Promise<StoredFile | null> {
    const row = await db.selectFrom(FILE.name).selectAll().where('sha256', '=', sha256).executeTakeFirst();
    return row === undefined ? null : fromRow(FILE, row);
  }

  async function there(sha256: string): Promise<string> {
    if ((await find(sha256)) === null) throw badArgument('the name of a picture file', 'one that is kept', sha256);
    return pathOf(folder, sha256);
  }

  return {
    async put(content) {
      const source = content instanceof Uint8Array ? one(content) : disk.stream(content.path);
      const written = await onDisk('The picture was not kept', () => placeFile(disk, folder, source));
      return together(context, async (working) => {
        const kept = await find(written.sha256, working);
        if (kept !== null) return kept;
        const file = { ...written, addedAt: working.now() };
        await working.db.insertInto(FILE.name).values(toRow(FILE, file)).execute();
        return file;
      });
    },
    has: async (sha256) => (await find(sha256)) !== null,
    async read(sha256) {
      const path = await there(sha256);
      return onDisk(`The picture ${sha256} could not be read`, () => disk.read(path));
    },
    localPath: async (sha256) => resolve(await there(sha256)),
  };
}
