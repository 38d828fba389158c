import { AsyncLocalStorage } from 'node:async_hooks';
import { randomUUID } from 'node:crypto';
import { dirname, join, resolve } from 'node:path';
import { VeligridError } from '@veligrid/model';
import { backupStore } from './backup.js';
import { checkStore } from './check/check-store.js';
import { contextOf, together, type Context } from './context.js';
import type { Store } from './contract.js';
import type { Backend } from './dialect/backend.js';
import { sqliteBackend } from './dialect/sqlite.js';
import { onDisk } from './files/disk-failure.js';
import { machineDisk, makeFolderForGood, type Disk } from './files/disk.js';
import { pictureFiles } from './files/picture-files.js';
import { CACHE, DATABASE, PICTURES } from './layout.js';
import { migrate } from './migrations/migrate.js';
import { partsOf } from './parts/parts-of.js';

/** How a store is opened; clock, ids and disk are handed in for tests. */
export interface OpenOptions {
  /** The time now; the machine's clock by default. */
  readonly now?: () => Date;
  /** A new id, never given before; a random UUID by default. */
  readonly newId?: () => string;
  /** Where picture files are written; this machine's disk by default. */
  readonly disk?: Disk;
  /** Whether a missing store is made; true by default. */
  readonly create?: boolean;
}

/** An open database with what the store's parts need. */
export interface Opened {
  readonly context: Context;
  readonly backend: Backend;
}

/** Opens a database file and brings it up to date. */
export async function openDatabase(path: string, options: OpenOptions, create: boolean): Promise<Opened> {
  const { now = () => new Date(), newId = randomUUID } = options;
  const backend = sqliteBackend(path, create);
  const context = contextOf(backend.db, { now: () => now().toJSON(), newId, running: new AsyncLocalStorage() });
  try {
    await migrate(backend, context.now());
  } catch (error) {
    await backend.close();
    throw error;
  }
  return { context, backend };
}

async function makeFolders(disk: Disk, folder: string, create: boolean): Promise<void> {
  const found = await disk.size(join(folder, DATABASE));
  if (found === null && !create) {
    throw new VeligridError(
      'bad-argument',
      `There is no store in ${folder}. Give the folder that veligrid serve uses.`,
    );
  }
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
    backup: (to) =>
      backupStore({ backend, disk, pictures }, to, (path) => {
        const copy = sqliteBackend(path, false);
        return {
          context: contextOf(copy.db, { ...context, running: new AsyncLocalStorage() }),
          close: () => copy.close(),
        };
      }),
    close: () => backend.close(),
  };
}
