import { dirname, join, resolve } from 'node:path';
import { backupStore } from './backup.js';
import { checkStore } from './check/check-store.js';
import { together } from './context.js';
import type { Store } from './contract.js';
import { onDisk } from './files/disk-failure.js';
import { machineDisk, makeFolderForGood, type Disk } from './files/disk.js';
import { pictureFiles } from './files/picture-files.js';
import { CACHE, DATABASE, PICTURES } from './layout.js';
import { openDatabase, refuseMissing, type Opened, type OpenOptions } from './open-database.js';
import { partsOf } from './parts/parts-of.js';

async function makeFolders(disk: Disk, folder: string, create: boolean): Promise<void> {
  if (!create) await refuseMissing(disk, folder);
  await onDisk(`The store in ${folder} could not be made`, async () => {
    await makeFolderForGood(disk, join(folder, PICTURES), dirname);
    await disk.makeFolder(join(folder, CACHE));
  });
}

/** Whether the database answers and lets itself be written. */
async function canWrite({ context }: Opened): Promise<boolean> {
  try {
    await together(context, () => Promise.resolve());
    return true;
  } catch {
    return false;
  }
}

/**
 * Opens the store in a folder. Several processes may have it open.
 *
 * @param folder made when it is missing
 * @throws VeligridError `store-failed` when it can't be opened, `bad-argument` when it is missing and may not be made
 */
export async function openStore(folder: string, options: OpenOptions = {}): Promise<Store> {
  const { disk = machineDisk, create = true } = options;
  await makeFolders(disk, folder, create);
  const opened = await openDatabase(join(folder, DATABASE), options, create);
  const { context, backend } = opened;
  const pictures = join(folder, PICTURES);
  return {
    ...partsOf(context),
    files: pictureFiles(context, disk, pictures),
    together: (work) => together(context, (working) => work(partsOf(working))),
    cacheFolder: resolve(folder, CACHE),
    ping: () => canWrite(opened),
    check: () => checkStore({ context, backend, disk, pictures }),
    backup: (to) => backupStore({ backend, disk, pictures }, to),
    close: () => backend.close(),
  };
}
