import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Flaw } from '../contract.js';
import { onDisk } from '../files/disk-failure.js';
import { openStore } from '../open-store.js';
import { restoreStore } from '../restore.js';

/** What a rehearsal found. */
interface Rehearsed {
  readonly flaws: readonly Flaw[];
  readonly samples: number;
}

/**
 * Restores a backup into a folder of its own, looks through everything, and removes it again. The backup stays as it is.
 *
 * @param from folder of the backup
 * @param within where there is room for it; the folder for temporary files by default
 * @throws VeligridError when it can't be restored at all
 */
export async function rehearseRestore(from: string, within: string = tmpdir()): Promise<Rehearsed> {
  const folder = await onDisk('The rehearsal could not begin', () => mkdtemp(join(within, 'veligrid-rehearsal-')));
  try {
    await restoreStore(from, folder);
    const store = await openStore(folder, { create: false });
    try {
      return { flaws: await store.check(), samples: (await store.samples.list()).length };
    } finally {
      await store.close();
    }
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
