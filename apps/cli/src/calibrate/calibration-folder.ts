import { readdir } from 'node:fs/promises';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { badArgument, VeligridError } from '@veligrid/model';
import { writeResult } from '../count/write-result.js';
import { readJson } from '../stages/read-staging.js';
import { parseCalibration, type CalibrationFile } from './calibration-file.js';

/** Where calibrations are kept unless another folder is named. */
export const calibrationFolder = (): string => join(homedir(), '.veligrid', 'calibrations');

/** Names that are file names on every system. */
const NAME = /^[\p{L}\p{N}][\p{L}\p{N} ._+-]{0,79}$/u;

/**
 * Checks the name of a calibration.
 *
 * @throws VeligridError `bad-argument`
 */
export function checkName(name: string): void {
  if (NAME.test(name) && !name.endsWith('.') && !name.endsWith(' ')) return;
  throw badArgument('--save', 'a name of up to 80 letters, digits, spaces and . _ + -', name);
}

/**
 * Writes a calibration beside earlier ones of its name, which stay: what was counted by them can still be traced.
 *
 * @returns path of the file, name and time in it
 * @throws VeligridError `unwritable-result`
 */
export async function saveCalibration(folder: string, calibration: CalibrationFile): Promise<string> {
  const time = calibration.madeAt.slice(0, 19).replace('T', '_').replaceAll(':', '');
  const path = join(folder, `${calibration.name}_${time}.json`);
  await writeResult(path, `${JSON.stringify(calibration, null, 2)}\n`);
  return path;
}

async function filesIn(folder: string): Promise<string[]> {
  try {
    return (await readdir(folder)).filter((name) => name.endsWith('.json')).sort();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw new VeligridError('bad-argument', `The folder ${folder} could not be read. Check its permissions.`, {
      cause: error,
    });
  }
}

/**
 * Finds the latest calibration of a name, or reads the file that is named.
 *
 * @param wanted name given with --save, or a path that ends in .json
 * @throws VeligridError `bad-argument` when there is none, with the names there are
 */
export async function findCalibration(wanted: string, folder: string): Promise<CalibrationFile> {
  if (wanted.endsWith('.json')) return parseCalibration(await readJson(wanted), wanted);
  const known: CalibrationFile[] = [];
  for (const file of await filesIn(folder)) {
    const path = join(folder, file);
    known.push(parseCalibration(await readJson(path), path));
  }
  const named = known.filter(({ name }) => name === wanted);
  const latest = named.sort((one, other) => Date.parse(other.madeAt) - Date.parse(one.madeAt))[0];
  if (latest !== undefined) return latest;
  const names = [...new Set(known.map(({ name }) => name))];
  const there = names.length === 0 ? 'There are none yet' : `There are: ${names.join(', ')}`;
  throw new VeligridError(
    'bad-argument',
    `No calibration named ${wanted} in ${folder}. ${there}. Make one with veligrid calibrate PHOTO --save ${wanted}.`,
  );
}
