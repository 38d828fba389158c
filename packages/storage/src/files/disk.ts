import { createReadStream } from 'node:fs';
import { mkdir, open, readdir, readFile, rename, rm, stat } from 'node:fs/promises';

/** What the store asks of a disk, so that tests can hand in a full, slow or failing one. */
export interface Disk {
  /** Makes a new file with this content and waits until it is on the disk; refuses when there is one. */
  writeNew(path: string, content: AsyncIterable<Uint8Array> | Iterable<Uint8Array>): Promise<void>;
  /** Puts a file in the place of another at one stroke. */
  rename(from: string, to: string): Promise<void>;
  /** Waits until what another program wrote into a file is on the disk. */
  syncFile(path: string): Promise<void>;
  /** Waits until the names in a folder are on the disk. */
  syncFolder(path: string): Promise<void>;
  /** Makes a folder with those above it; answers the topmost that was new, or undefined. */
  makeFolder(path: string): Promise<string | undefined>;
  remove(path: string): Promise<void>;
  /** Length in bytes, or null when there is no such file. */
  size(path: string): Promise<number | null>;
  read(path: string): Promise<Uint8Array>;
  stream(path: string): AsyncIterable<Uint8Array>;
  /** Names in a folder, in order; none when it is not there. */
  names(path: string): Promise<readonly string[]>;
}

const isMissing = (error: unknown): boolean => (error as NodeJS.ErrnoException).code === 'ENOENT';

/** The disk of this machine. */
export const machineDisk: Disk = {
  async writeNew(path, content) {
    const file = await open(path, 'wx');
    try {
      // one after the other: `write` with a buffer may take less than all, `writeFile` goes on until all is written
      for await (const chunk of content) await file.writeFile(chunk);
      await file.sync();
    } finally {
      await file.close();
    }
  },
  rename,
  async syncFile(path) {
    const file = await open(path, 'r+');
    try {
      await file.sync();
    } finally {
      await file.close();
    }
  },
  async syncFolder(path) {
    // Windows has no way to sync a folder, and keeps its names safe itself
    if (process.platform === 'win32') return;
    const folder = await open(path, 'r');
    try {
      await folder.sync();
    } finally {
      await folder.close();
    }
  },
  makeFolder: (path) => mkdir(path, { recursive: true }),
  remove: (path) => rm(path, { force: true }),
  async size(path) {
    try {
      const found = await stat(path);
      return found.isFile() ? found.size : null;
    } catch (error) {
      if (isMissing(error)) return null;
      throw error;
    }
  },
  read: (path) => readFile(path),
  // opened when it is read, so that a missing file fails there
  async *stream(path) {
    yield* createReadStream(path) as AsyncIterable<Uint8Array>;
  },
  async names(path) {
    try {
      return (await readdir(path)).sort();
    } catch (error) {
      if (isMissing(error)) return [];
      throw error;
    }
  },
};

/** Makes a folder and waits until it and all new ones above it are on the disk. */
export async function makeFolderForGood(disk: Disk, path: string, above: (path: string) => string): Promise<void> {
  const top = await disk.makeFolder(path);
  if (top === undefined) return;
  for (let folder = path; ; folder = above(folder)) {
    await disk.syncFolder(above(folder));
    if (folder === top || folder === above(folder)) return;
  }
}
