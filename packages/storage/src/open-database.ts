import { AsyncLocalStorage } from 'node:async_hooks';
import { randomUUID } from 'node:crypto';
import { dirname, join } from 'node:path';
import { VeligridError } from '@veligrid/model';
import { contextOf, type Context } from './context.js';
import type { Backend, Db, FileBackend } from './dialect/backend.js';
import { sqliteBackend } from './dialect/sqlite.js';
import { machineDisk, type Disk } from './files/disk.js';
import { DATABASE } from './layout.js';
import { keepBefore } from './migrations/keep-before.js';
import { migrate, MIGRATIONS, stepsToTake, type Migration } from './migrations/migrate.js';

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
  /** Steps of the schema; only tests give their own. */
  readonly migrations?: readonly Migration[];
}

/** An open database with what the store's parts need. */
export interface Opened<B extends Backend = Backend> {
  readonly context: Context;
  readonly backend: B;
}

/**
 * Brings a database up to date and hands it on; what steps of the schema would change is kept as it was before.
 *
 * @param folder for that copy
 */
export async function bringUpToDate<B extends Backend>(
  backend: B,
  folder: string,
  options: OpenOptions,
): Promise<Opened<B>> {
  const { newId = randomUUID, disk = machineDisk, migrations = MIGRATIONS } = options;
  const clock = options.now ?? ((): Date => new Date());
  const now = (): string => clock().toJSON();
  const running = new AsyncLocalStorage<Db>();
  // a clock that was handed in is the only one
  const common = (): Promise<string | null> => backend.commonTime(running.getStore() ?? backend.db);
  const commonNow = async (): Promise<string> => (options.now === undefined ? await common() : null) ?? now();
  const context = contextOf(backend.db, { now, commonNow, newId, running });
  try {
    const [next] = await stepsToTake(backend, migrations);
    if (next !== undefined) await keepBefore(disk, backend, { folder, step: next.name, at: context.now() });
    await migrate(backend, context.now(), migrations);
  } catch (error) {
    await backend.close();
    throw error;
  }
  return { context, backend };
}

/** Opens a database file and brings it up to date. */
export const openDatabase = (path: string, options: OpenOptions, create: boolean): Promise<Opened<FileBackend>> =>
  bringUpToDate(sqliteBackend(path, create), dirname(path), options);

/** Refuses a folder without a store. */
export async function refuseMissing(disk: Disk, folder: string): Promise<void> {
  if ((await disk.size(join(folder, DATABASE))) !== null) return;
  throw new VeligridError('bad-argument', `There is no store in ${folder}. Give the folder that veligrid serve uses.`);
}
