import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { badArgument } from '@veligrid/model';
import type { Store } from '../contract.js';
import { onDisk } from '../files/disk-failure.js';
import { machineDisk } from '../files/disk.js';
import { DATABASE } from '../layout.js';

/** How backups are kept. */
export interface Rotation {
  /** Folder that each backup gets a folder in. */
  readonly folder: string;
  /** Backups kept, 1 or more; older ones are removed once the new one is whole. */
  readonly keep: number;
  readonly now: Date;
}

/** Names that this program gives; nothing else in the folder is ever touched. */
const NAME = /^veligrid-\d{4}-\d{2}-\d{2}T\d{6}Z$/;

/** One cut short that is younger may still be on its way in another program. */
const DAY_MS = 86_400_000;

const nameAt = (now: Date): string => `veligrid-${now.toISOString().slice(0, 19).replaceAll(':', '')}Z`;

/**
 * The backups in a folder.
 *
 * @returns names of whole ones and of ones that were cut short, oldest first
 */
export async function backupNames(folder: string): Promise<{ readonly whole: string[]; readonly cut: string[] }> {
  const names = (await machineDisk.names(folder)).filter((name) => NAME.test(name));
  const whole: string[] = [];
  for (const name of names) if ((await machineDisk.size(join(folder, name, DATABASE))) !== null) whole.push(name);
  return { whole, cut: names.filter((name) => !whole.includes(name)) };
}

/**
 * Makes a backup in a folder named by the time, then removes those that are too many. What goes wrong on the way leaves
 * the earlier ones as they are.
 *
 * @returns the new backup's folder
 * @throws VeligridError `bad-argument`, `store-failed`
 */
export async function rotateBackups(store: Pick<Store, 'backup'>, { folder, keep, now }: Rotation): Promise<string> {
  if (!Number.isInteger(keep) || keep < 1)
    throw badArgument('the backups to keep', 'a whole number of 1 or more', keep);
  const made = join(folder, nameAt(now));
  await store.backup(made);
  await onDisk('The backup was made, but older ones could not be removed', async () => {
    const { whole, cut } = await backupNames(folder);
    const dead = cut.filter((name) => name < nameAt(new Date(now.getTime() - DAY_MS)));
    for (const name of [...dead, ...whole.slice(0, -keep)])
      await rm(join(folder, name), { recursive: true, force: true });
  });
  return made;
}
