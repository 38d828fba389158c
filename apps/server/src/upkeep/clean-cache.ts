import { randomUUID } from 'node:crypto';
import { readdir, rename, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';

/** Pictures of one page in the cache. */
interface Cached {
  readonly folder: string;
  readonly bytes: number;
  /** When one was last made or, where the disk notes it, looked at. */
  readonly usedMs: number;
}

/** Begins the names of folders that are being removed. */
const GOING = 'going-';

async function measured(folder: string): Promise<Cached> {
  const names = await readdir(folder, { recursive: true, withFileTypes: true });
  let bytes = 0;
  let usedMs = 0;
  for (const entry of names.filter((one) => one.isFile())) {
    const { size, atimeMs, mtimeMs } = await stat(join(entry.parentPath, entry.name));
    bytes += size;
    usedMs = Math.max(usedMs, atimeMs, mtimeMs);
  }
  return { folder, bytes, usedMs };
}

const namesIn = (folder: string): Promise<string[]> => readdir(folder).catch(() => []);

/** Removes a folder at one stroke for whoever looks into it, then its files. */
async function removeWhole(folder: string, parent: string): Promise<void> {
  const going = join(parent, `${GOING}${randomUUID()}`);
  await rename(folder, going);
  await rm(going, { recursive: true, force: true });
}

/**
 * Removes the pictures that were not looked at for longest until the rest takes no more room than that. They are made
 * again when somebody looks.
 *
 * @param cacheFolder of the store
 * @param mostBytes room for pictures of the cache
 * @returns bytes removed
 */
export async function cleanCache(cacheFolder: string, mostBytes: number): Promise<number> {
  const pictures = join(cacheFolder, 'pictures');
  const all: Cached[] = [];
  for (const part of await namesIn(pictures)) {
    // left by a program that ended half way
    if (part.startsWith(GOING)) await rm(join(pictures, part), { recursive: true, force: true });
    for (const name of await namesIn(join(pictures, part))) all.push(await measured(join(pictures, part, name)));
  }
  let over = all.reduce((sum, { bytes }) => sum + bytes, 0) - mostBytes;
  let removed = 0;
  for (const { folder, bytes } of all.toSorted((a, b) => a.usedMs - b.usedMs)) {
    if (over <= 0) break;
    await removeWhole(folder, pictures);
    over -= bytes;
    removed += bytes;
  }
  return removed;
}
