import { dirname, join } from 'node:path';
import { postgresBackend } from '../dialect/postgres.js';
import { onDisk } from '../files/disk-failure.js';
import { machineDisk, makeFolderForGood, type Disk } from '../files/disk.js';
import { folderPlace, type PicturePlace } from '../files/picture-place.js';
import { CACHE, DATABASE, PICTURES } from '../layout.js';
import { bringUpToDate, openDatabase, refuseMissing, type Opened, type OpenOptions } from '../open-database.js';
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

async function openServer({ address, photos, folder }: DatabasePlace, options: OpenOptions): Promise<OpenPlace> {
  const { disk = machineDisk } = options;
  const cacheFolder = join(folder, CACHE);
  await makeFolders(disk, `The folder ${folder}`, [cacheFolder]);
  await makeFolders(disk, `The folder of photos ${photos}`, [photos]);
  const opened = await bringUpToDate(postgresBackend(address), folder, options);
  return { ...opened, pictures: folderPlace(disk, photos), cacheFolder };
}

/** Opens the database of a store and finds its pictures. */
export const openPlace = (where: StorePlace, options: OpenOptions): Promise<OpenPlace> =>
  typeof where === 'string' ? openFolder(where, options) : openServer(where, options);
