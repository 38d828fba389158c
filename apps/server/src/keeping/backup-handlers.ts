import { dirname } from 'node:path';
import type { Backups } from '@veligrid/api';
import { backupNames, rotateBackups, storageUse } from '@veligrid/storage';
import type { Handlers } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { backupTime } from '../upkeep/start-upkeep.js';

async function backupsOf({ backups, uploadFolder }: House): Promise<Backups> {
  const names = backups === null ? [] : (await backupNames(backups.folder)).whole;
  return {
    plan: backups === null ? null : { ...backups },
    made: names.toReversed().map((name) => ({ name, at: new Date(backupTime(name)).toISOString() })),
    use: { ...(await storageUse(dirname(uploadFolder))) },
  };
}

export const backupHandlers: Handlers<'listBackups' | 'makeBackup'> = {
  listBackups: ({ house }) => backupsOf(house),
  makeBackup: async ({ house }) => {
    const { backups, store, now } = house;
    if (backups === null) {
      throw new ProblemError(
        'refused',
        'The server was not told where backups go. Start it with --backup-to FOLDER, best on another disk.',
        { code: 'no-backup-folder' },
      );
    }
    await rotateBackups(store, { ...backups, now: now() });
    return backupsOf(house);
  },
};
