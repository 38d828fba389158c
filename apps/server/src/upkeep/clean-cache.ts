import { randomUUID } from 'node:crypto';
import { readdir, rename, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';

/** Pictures of one page in the cache. */
interface Cached {
  readonly folder: string;
  /** The folder of the cache that it is in. */
  readonly root: string;
  readonly bytes: number;
  /** When one was last made or, where the disk notes it, looked at. */
  readonly usedMs: number;
}

/** What is made from photos, and photos fetched from a bucket: in each two levels of folders. */
const ROOTS = ['pictures', 'fetched'];

/** Photos on their way, which somebody is writing. */
const UNFINISHED = 'unfinished';

/** Begins the names of folders that are being removed. */
const GOING = 'going-';

async function measured(folder: string, root: string): Promise<Cached> {
  const names = await readdir(folder, { recursive: true, withFileTypes: true });
  let bytes = 0;
  let usedMs = 0;
  for (const entry of names.filter((one) => one.isFile())) {
    const { size, atimeMs, mtimeMs } = await stat(join(entry.parentPath, entry.name));
    bytes += size;
    usedMs = Math.max(usedMs, atimeMs, mtimeMs);
  }
  return { folder, root, bytes, usedMs };
}

const namesIn = (folder: string): Promise<string[]> => readdir(folder).catch(() => []);

/** Removes a folder at one stroke for whoever looks into it, then its files. */
async function removeWhole(folder: string, parent: string): Promise<void> {
  const going = join(parent, `${GOING}${randomUUID()}`);
  try {
    await rename(folder, going);
  } catch (error) {
    // another program on this machine cleans the same cache
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return;
    throw error;
  }
  await rm(going, { recursive: true, force: true });
}

async function cachedIn(root: string): Promise<Cached[]> {
  const found: Cached[] = [];
  for (const part of await namesIn(root)) {
    // left by a program that ended half way
    if (part.startsWith(GOING)) await rm(join(root, part), { recursive: true, force: true });
    if (part === UNFINISHED) continue;
    for (const name of await namesIn(join(root, part))) found.push(await measured(join(root, part, name), root));
  }
  return found;
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
  const roots = ROOTS.map((root) => join(cacheFolder, root));
  const all = (await Promise.all(roots.map(cachedIn))).flat();
  let over = all.reduce((sum, { bytes }) => sum + bytes, 0) - mostBytes;
  let removed = 0;
  for (const { folder, root, bytes } of all.toSorted((a, b) => a.usedMs - b.usedMs)) {
    if (over <= 0) break;
    await removeWhole(folder, root);
    over -= bytes;
    removed += bytes;
  }
  return removed;
}
