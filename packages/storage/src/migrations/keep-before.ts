import { join } from 'node:path';
import type { Backend } from '../dialect/backend.js';
import { onDisk } from '../files/disk-failure.js';
import type { Disk } from '../files/disk.js';

/** What is kept before a step. */
interface Before {
  /** Where the copy is put. */
  readonly folder: string;
  /** Name of the first step that will be taken. */
  readonly step: string;
  /** ISO 8601 UTC. */
  readonly at: string;
}

/**
 * Copies a database before steps of the schema are taken: `before-STEP-TIME.sqlite`. Pictures need none:
 * no step changes them. Whoever goes back to the older program puts the copy in the place of the database.
 *
 * @throws VeligridError `store-failed` when there is no room for it; no step is taken then
 */
export async function keepBefore(disk: Disk, backend: Backend, { folder, step, at }: Before): Promise<void> {
  const name = `before-${step}-${at.replaceAll(/[:.]/g, '')}.sqlite`;
  const unfinished = join(folder, `unfinished-${name}`);
  await onDisk('The database was not brought up to date, as no copy of it could be made', async () => {
    await disk.remove(unfinished);
    await backend.copyTo(unfinished);
    await disk.syncFile(unfinished);
    await disk.rename(unfinished, join(folder, name));
    await disk.syncFolder(folder);
  });
}
