import { readFile } from 'node:fs/promises';
import { VeligridError } from '@veligrid/model';

/** @throws VeligridError `bad-argument` when the file can't be read */
export async function readText(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (cause) {
    throw new VeligridError('bad-argument', `${path} can't be read. Check the path.`, { cause });
  }
}

/** Whether a cell says nothing. */
export const isNoEntry = (cell: string | undefined): cell is undefined | '' => cell === undefined || cell === '';
