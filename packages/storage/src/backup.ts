import { dirname, join } from 'node:path';
import { VeligridError } from '@veligrid/model';
import type { Context } from './context.js';
import type { Backend } from './dialect/backend.js';
import { onDisk } from './files/disk-failure.js';
import { makeFolderForGood, type Disk } from './files/disk.js';
import { folderPlace, type PicturePlace } from './files/picture-place.js';
import { DATABASE, PICTURES } from './layout.js';
import { openDatabase } from './open-database.js';
import { FILE } from './record-tables.js';

/** Refuses a folder that already holds something. */
export async function emptyFolder(disk: Disk, folder: string, what: string): Promise<void> {
  if ((await disk.names(folder)).length > 0) {
    throw new VeligridError('bad-argument', `${folder} is not empty. Choose a new folder for the ${what}.`);
  }
  await makeFolderForGood(disk, folder, dirname);
}

/** Copies all pictures that a database names, each checked against its name. */
export async function copyPictures(context: Context, from: PicturePlace, to: PicturePlace): Promise<void> {
  const rows = await context.db.selectFrom(FILE.name).select('sha256').orderBy('sha256').execute();
  for (const row of rows) {
    const sha256 = String(row['sha256']);
    const placed = await to.keep(from.stream(sha256));
    if (placed.sha256 === sha256) continue;
    const message = `The picture ${from.nameOf(sha256)} is not what was kept, so the copy is not whole. Run veligrid check.`;
    throw new VeligridError('store-failed', message);
  }
}

/**
 * Copies a store into a folder that is empty or new, while others go on working. The database is copied first, as it was at
 * one moment: every picture it names was on disk before.
 */
export async function backupStore(
  { backend, disk, pictures }: { readonly backend: Backend; readonly disk: Disk; readonly pictures: PicturePlace },
  folder: string,
): Promise<void> {
  await onDisk('The backup was not made', async () => {
    await emptyFolder(disk, folder, 'backup');
    // under another name until all is there: a copy that was cut short is never taken for a backup
    const unfinished = join(folder, `unfinished-${DATABASE}`);
    await backend.copyTo(unfinished);
    const copy = await openDatabase(unfinished, {}, false);
    try {
      await copyPictures(copy.context, pictures, folderPlace(disk, join(folder, PICTURES)));
    } catch (error) {
      await copy.backend.close();
      throw error;
    }
    await copy.backend.closeWhole();
    await disk.syncFile(unfinished);
    await disk.rename(unfinished, join(folder, DATABASE));
    await disk.syncFolder(folder);
  });
}
