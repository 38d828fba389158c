import { statfs } from 'node:fs/promises';
import { join } from 'node:path';
import { machineDisk } from '../files/disk.js';
import { CACHE, PICTURES } from '../layout.js';

/** Room that a store takes, bytes. */
export interface StorageUse {
  /** The database, with its log and copies made before steps of its schema. */
  readonly database: number;
  readonly pictures: number;
  /** Tiles and thumbnails, which may be thrown away. */
  readonly cache: number;
  /** Room left on the disk. */
  readonly free: number;
}

/** Bytes of all files below a folder; files that go meanwhile count nothing. */
async function bytesBelow(folder: string): Promise<number> {
  let sum = 0;
  for (const name of await machineDisk.names(folder)) {
    const path = join(folder, name);
    const size = await machineDisk.size(path).catch(() => 0);
    sum += size ?? (await bytesBelow(path).catch(() => 0));
  }
  return sum;
}

/** Tells what takes how much room in the folder of a store. */
export async function storageUse(folder: string): Promise<StorageUse> {
  let database = 0;
  for (const name of await machineDisk.names(folder)) {
    if (name.includes('.sqlite')) database += (await machineDisk.size(join(folder, name))) ?? 0;
  }
  const { bavail, bsize } = await statfs(folder);
  return {
    database,
    pictures: await bytesBelow(join(folder, PICTURES)),
    cache: await bytesBelow(join(folder, CACHE)),
    free: bavail * bsize,
  };
}
