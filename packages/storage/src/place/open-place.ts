import { dirname, join } from 'node:path';
import { postgresBackend } from '../dialect/postgres.js';
import { bucketPlace } from '../files/bucket-place.js';
import { onDisk } from '../files/disk-failure.js';
import { machineDisk, makeFolderForGood, type Disk } from '../files/disk.js';
import { folderPlace, type PicturePlace } from '../files/picture-place.js';
import { CACHE, DATABASE, PICTURES } from '../layout.js';
import { bringUpToDate, openDatabase, refuseMissing, type Opened, type OpenOptions } from '../open-database.js';
import { readDatabaseFile } from './read-place.js';
import type { DatabasePlace, StorePlace } from './store-place.js';

/** A store's database and pictures. */
export interface OpenPlace extends Opened {
  readonly pictures: PicturePlace;
  readonly cacheFolder: string;
}

const makeFolders = (disk: Disk, what: string, folders: readonly string[]): Promise<void> =>
  onDisk(`${what} could not be made`, async () => {
    for (const folder of folders) await makeFolderForGood(disk, folder, dirname);
  });

async function openFolder(folder: string, options: OpenOptions): Promise<OpenPlace> {
  const { disk = machineDisk, create = true } = options;
  if (!create) await refuseMissing(disk, folder);
  const [pictures, cacheFolder] = [join(folder, PICTURES), join(folder, CACHE)];
  await makeFolders(disk, `The store in ${folder}`, [pictures]);
  await onDisk(`The store in ${folder} could not be made`, () => disk.makeFolder(cacheFolder));
  const opened = await openDatabase(join(folder, DATABASE), options, create);
  return { ...opened, pictures: folderPlace(disk, pictures), cacheFolder };
}

async function picturesOf({ photos }: DatabasePlace, disk: Disk, cacheFolder: string): Promise<PicturePlace> {
  if (typeof photos !== 'string') return bucketPlace({ ...photos, disk, cacheFolder });
  await makeFolders(disk, `The folder of photos ${photos}`, [photos]);
  return folderPlace(disk, photos);
}

async function openServer(place: DatabasePlace, options: OpenOptions): Promise<OpenPlace> {
  const { disk = machineDisk } = options;
  const cacheFolder = join(place.folder, CACHE);
  await makeFolders(disk, `The folder ${place.folder}`, [cacheFolder]);
  const pictures = await picturesOf(place, disk, cacheFolder);
  const opened = await bringUpToDate(postgresBackend(place.address), place.folder, options);
  return { ...opened, pictures, cacheFolder };
}

/** Opens the database of a store and finds its pictures. */
export async function openPlace(where: StorePlace, options: OpenOptions): Promise<OpenPlace> {
  if (typeof where !== 'string') return openServer(where, options);
  // a file, not a folder: it tells where the store is
  if ((await machineDisk.size(where)) !== null) return openServer(await readDatabaseFile(where), options);
  return openFolder(where, options);
}
