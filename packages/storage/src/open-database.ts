import { AsyncLocalStorage } from 'node:async_hooks';
import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { VeligridError } from '@veligrid/model';
import { contextOf, type Context } from './context.js';
import type { Backend } from './dialect/backend.js';
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
export interface Opened {
  readonly context: Context;
  readonly backend: Backend;
}

/** Opens a database file and brings it up to date; what steps of the schema would change is kept as it was before. */
export async function openDatabase(path: string, options: OpenOptions, create: boolean): Promise<Opened> {
  const { now = () => new Date(), newId = randomUUID, disk = machineDisk, migrations = MIGRATIONS } = options;
  const backend = sqliteBackend(path, create);
  const context = contextOf(backend.db, { now: () => now().toJSON(), newId, running: new AsyncLocalStorage() });
  try {
    const [next] = await stepsToTake(backend, migrations);
    if (next !== undefined) await keepBefore(disk, backend, { path, step: next.name, at: context.now() });
    await migrate(backend, context.now(), migrations);
  } catch (error) {
    await backend.close();
    throw error;
  }
  return { context, backend };
}

/** Refuses a folder without a store. */
export async function refuseMissing(disk: Disk, folder: string): Promise<void> {
  if ((await disk.size(join(folder, DATABASE))) !== null) return;
  throw new VeligridError('bad-argument', `There is no store in ${folder}. Give the folder that veligrid serve uses.`);
}
