import { VeligridError } from '@veligrid/model';

const REASONS: Readonly<Record<string, string>> = {
  ENOSPC: 'The disk is full: make room, then try again',
  EDQUOT: 'Your share of the disk is full: make room, then try again',
  EFBIG: 'The file is larger than this disk or account may hold: make room, then try again',
  EACCES: 'The program has no right to write there: give it the right, then try again',
  EROFS: 'The disk can only be read: choose another folder',
  EIO: 'The disk failed: look at it, then try again',
};

/** What libraries that tell no code say of a full disk: the words of the system (POSIX, strerror of ENOSPC). */
const FULL = /no space left on device/i;

/** What to do about a fault of the disk, in words; null for any other error. */
export function diskReason(error: unknown): string | null {
  if (!(error instanceof Error)) return null;
  const { code = '', message } = error as NodeJS.ErrnoException;
  return REASONS[code] ?? (FULL.test(message) ? (REASONS['ENOSPC'] ?? null) : null);
}

/** Runs work on the disk and says in plain words why it failed. */
export async function onDisk<T>(what: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof VeligridError) throw error;
    const reason = diskReason(error) ?? 'The disk refused';
    throw new VeligridError('store-failed', `${what}. ${reason} (${(error as Error).message}).`, { cause: error });
  }
}
