import { join } from 'node:path';
import { VeligridError } from '@veligrid/model';
import { copyPictures, emptyFolder } from './backup.js';
import { onDisk } from './files/disk-failure.js';
import { machineDisk, type Disk } from './files/disk.js';
import { folderPlace, type PicturePlace } from './files/picture-place.js';
import { DATABASE, PICTURES } from './layout.js';
import { openDatabase } from './open-database.js';

/**
 * Makes a store from a backup; the backup stays as it is. Every picture is checked against its name on the way.
 *
 * @param from folder of the backup
 * @param folder of the new store, empty or new: a store in use is never overwritten
 */
export async function restoreStore(
  from: string,
  folder: string,
  { disk = machineDisk }: { readonly disk?: Disk } = {},
): Promise<void> {
  if ((await disk.size(join(from, DATABASE))) === null) {
    throw new VeligridError(
      'bad-argument',
      `${from} holds no whole backup: there is no ${DATABASE}. Give another folder.`,
    );
  }
  await onDisk('The backup was not restored', async () => {
    await emptyFolder(disk, folder, 'store');
    const unfinished = join(folder, `unfinished-${DATABASE}`);
    await disk.writeNew(unfinished, disk.stream(join(from, DATABASE)));
    const { context, backend } = await openDatabase(unfinished, {}, false);
    try {
      const at = (store: string): PicturePlace => folderPlace(disk, join(store, PICTURES));
      await copyPictures(context, at(from), at(folder));
    } catch (error) {
      await backend.close();
      throw error;
    }
    await backend.closeWhole();
    await disk.syncFile(unfinished);
    await disk.rename(unfinished, join(folder, DATABASE));
    await disk.syncFolder(folder);
  });
}
