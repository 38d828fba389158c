import { resolve } from 'node:path';
import type { Disk } from './disk.js';
import { pathOf, placeFile, type Written } from './place-file.js';

/** Where picture files lie, by their SHA-256. */
export interface PicturePlace {
  /** Keeps content for good and answers what it was. */
  keep(content: AsyncIterable<Uint8Array>): Promise<Written>;
  /** Length in bytes, or null when it is not there. */
  size(sha256: string): Promise<number | null>;
  stream(sha256: string): AsyncIterable<Uint8Array>;
  read(sha256: string): Promise<Uint8Array>;
  /** A path on this machine to read it from. */
  localPath(sha256: string): Promise<string>;
  /** The folder they lie in; null when that is no folder of a disk that this machine sees. */
  readonly folder: string | null;
  /** How it is called in messages. */
  nameOf(sha256: string): string;
}

/** Pictures in a folder of this machine, or in one that several machines see. */
export const folderPlace = (disk: Disk, folder: string): PicturePlace => ({
  keep: (content) => placeFile(disk, folder, content),
  size: (sha256) => disk.size(pathOf(folder, sha256)),
  stream: (sha256) => disk.stream(pathOf(folder, sha256)),
  read: (sha256) => disk.read(pathOf(folder, sha256)),
  localPath: (sha256) => Promise.resolve(resolve(pathOf(folder, sha256))),
  folder,
  nameOf: (sha256) => pathOf(folder, sha256),
});
