import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { VeligridError, type PhotoCount } from '@veligrid/model';
import { asObject } from '../score/json-value.js';
import { readJson } from './read-staging.js';

/** Whether a parsed file is a count file as far as stages need it. */
function isCount(parsed: unknown): parsed is PhotoCount {
  const file = asObject(parsed);
  return file !== null && typeof file['photo'] === 'string' && Array.isArray(file['detections']);
}

/**
 * Reads all count files of a folder, at any depth, in order of name; other JSON files are passed over.
 *
 * @throws VeligridError `bad-argument` when the folder can't be read or holds no count file
 */
export async function readCounts(folder: string): Promise<PhotoCount[]> {
  let names;
  try {
    names = await readdir(folder, { recursive: true });
  } catch (error) {
    throw new VeligridError('bad-argument', `${folder} could not be opened. Name a folder of count files.`, {
      cause: error,
    });
  }
  const counts: PhotoCount[] = [];
  for (const name of names.filter((one) => one.endsWith('.json')).sort((a, b) => (a < b ? -1 : 1))) {
    const parsed = await readJson(join(folder, name));
    if (isCount(parsed)) counts.push(parsed);
  }
  if (counts.length === 0) {
    throw new VeligridError(
      'bad-argument',
      `No count file found in ${folder}. Name a folder that veligrid count wrote.`,
    );
  }
  return counts;
}
