import { VeligridError } from '@veligrid/model';

const REASONS: Readonly<Record<string, string>> = {
  ENOSPC: 'The disk is full: make room, then try again',
  EDQUOT: 'Your share of the disk is full: make room, then try again',
  EFBIG: 'The file is larger than this disk or account may hold: make room, then try again',
  EACCES: 'The program has no right to write there: give it the right, then try again',
  EROFS: 'The disk can only be read: choose another folder',
  EIO: 'The disk failed: look at it, then try again',
};

/** Runs work on the disk and says in plain words why it failed. */
export async function onDisk<T>(what: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof VeligridError) throw error;
    const { code = '', message } = error as NodeJS.ErrnoException;
    const reason = REASONS[code] ?? 'The disk refused';
    throw new VeligridError('store-failed', `${what}. ${reason} (${message}).`, { cause: error });
  }
}
