import { backupNames, rotateBackups, type Store } from '@veligrid/storage';
import { cleanCache } from './clean-cache.js';

/** Backups that the server makes by itself. */
export interface BackupPlan {
  /** Folder that each gets a folder in; best on another disk. */
  readonly folder: string;
  /** Hours between them. */
  readonly everyHours: number;
  /** How many are kept. */
  readonly keep: number;
}

/** What is to be looked after. */
export interface UpkeepOptions {
  readonly backups?: BackupPlan;
  /** Most room for tiles and thumbnails, bytes. */
  readonly cacheBytes: number;
  /** Told what went wrong; it is tried again. */
  readonly onFault: (error: unknown) => void;
  readonly now: () => Date;
}

const HOUR_MS = 3_600_000;
/** How often it is looked whether something is to be done. */
const LOOK_MS = 5 * 60_000;

/** The moment that the name of a backup tells, ms. */
export const backupTime = (name: string): number =>
  Date.parse(name.replace(/^veligrid-(.{10})T(\d\d)(\d\d)(\d\d)Z$/, '$1T$2:$3:$4Z'));

/** Whether the last backup is older than agreed, or of a clock that was ahead. */
async function isDue({ folder, everyHours }: BackupPlan, now: Date): Promise<boolean> {
  const last = (await backupNames(folder)).whole.at(-1);
  const age = last === undefined ? Infinity : now.getTime() - backupTime(last);
  return age >= everyHours * HOUR_MS || age < 0;
}

/** Makes the backups that are due and keeps the cache within its room, now and from time to time. */
export function startUpkeep(store: Store, options: UpkeepOptions): { readonly stop: () => Promise<void> } {
  const { backups, cacheBytes, onFault, now } = options;
  const look = async (): Promise<void> => {
    try {
      if (backups !== undefined && (await isDue(backups, now())))
        await rotateBackups(store, { ...backups, now: now() });
    } catch (error) {
      onFault(error);
    }
    await cleanCache(store.cacheFolder, cacheBytes).catch(onFault);
  };
  let looking = look();
  const timer = setInterval(() => {
    looking = looking.then(look);
  }, LOOK_MS);
  timer.unref();
  return {
    stop: async () => {
      clearInterval(timer);
      await looking;
    },
  };
}
