import { statfs } from 'node:fs/promises';

/** Bytes that this program may still write to the disk of a folder. */
export async function freeSpace(folder: string): Promise<number> {
  const { bavail, bsize } = await statfs(folder);
  return bavail * bsize;
}
