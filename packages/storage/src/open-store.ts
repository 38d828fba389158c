import { resolve } from 'node:path';
import { backupStore } from './backup.js';
import { checkStore } from './check/check-store.js';
import { together } from './context.js';
import type { Store } from './contract.js';
import { machineDisk } from './files/disk.js';
import { pictureFiles } from './files/picture-files.js';
import type { Opened, OpenOptions } from './open-database.js';
import { partsOf } from './parts/parts-of.js';
import { openPlace } from './place/open-place.js';
import type { StorePlace } from './place/store-place.js';

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
 * Opens a store. Several processes may have it open; those of several machines only when its database is a server.
 *
 * @param where its folder, made when it is missing; or the file that tells database and place of photos; or these themselves
 * @throws VeligridError `store-failed` when it can't be opened, `bad-argument` when it is missing and may not be made
 */
export async function openStore(where: StorePlace, options: OpenOptions = {}): Promise<Store> {
  const { disk = machineDisk } = options;
  const opened = await openPlace(where, options);
  const { context, backend, pictures, cacheFolder } = opened;
  return {
    ...partsOf(context),
    files: pictureFiles(context, disk, pictures),
    together: (work) => together(context, (working) => work(partsOf(working))),
    cacheFolder: resolve(cacheFolder),
    photoFolder: pictures.folder,
    ping: () => canWrite(opened),
    check: () => checkStore({ context, backend, pictures }),
    backup: (to) => backupStore({ backend, disk, pictures }, to),
    close: () => backend.close(),
  };
}
