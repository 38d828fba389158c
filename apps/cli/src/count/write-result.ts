import { mkdir, rename, rm, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { VeligridError } from '@veligrid/model';

function unwritable(path: string, error: unknown): VeligridError {
  const code = (error as NodeJS.ErrnoException).code ?? 'unknown';
  const reasons: Readonly<Record<string, string>> = {
    EACCES: 'this user may not write there. Name another folder with --out',
    EPERM: 'this user may not write there. Name another folder with --out',
    EROFS: 'that disk can only be read. Name another folder with --out',
    ENOSPC: 'the disk is full. Free some space and run again',
    ENOTDIR: 'a part of that path is a file, not a folder. Name another folder with --out',
    EEXIST: 'a file of that name is in the way. Name another folder with --out',
    EISDIR: 'a folder of that name is in the way. Remove it or name another folder with --out',
  };
  const reason = reasons[code] ?? `the system answered ${code}. Name another folder with --out`;
  return new VeligridError('unwritable-result', `${path} could not be written: ${reason}.`, { cause: error });
}

/**
 * Makes the folder of results and tries it, so that a long run doesn't end without a place for what it found.
 *
 * @throws VeligridError `unwritable-result`
 */
export async function prepareFolder(folder: string): Promise<void> {
  const trial = join(folder, `.veligrid-trial-${String(process.pid)}`);
  try {
    await mkdir(folder, { recursive: true });
    await writeFile(trial, '');
    await rm(trial);
  } catch (error) {
    throw unwritable(folder, error);
  }
}

/**
 * Writes a result whole or not at all: beside its place first, then moved there.
 *
 * @param content bytes, a text, or the parts of one
 * @throws VeligridError `unwritable-result` naming the file, the reason and what to do
 */
export async function writeResult(path: string, content: string | Uint8Array | Iterable<string>): Promise<void> {
  const unfinished = `${path}.part`;
  try {
    await mkdir(dirname(path), { recursive: true });
    await writeFile(unfinished, content);
    await rename(unfinished, path);
  } catch (error) {
    await rm(unfinished, { force: true }).catch(() => undefined);
    // a part that could not be made is no fault of the disk
    if ((error as NodeJS.ErrnoException).syscall === undefined) throw error;
    throw unwritable(path, error);
  }
}
