import { stat, readFile } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { VeligridError } from '@veligrid/model';
import type { BucketPlace, DatabasePlace } from './store-place.js';

/** What a file of the database may say, and the variable of the environment that says it where the file does not. */
const VARIABLES = {
  database: 'VELIGRID_DATABASE',
  photos: 'VELIGRID_PHOTOS',
  endpoint: 'VELIGRID_PHOTOS_ENDPOINT',
  region: 'VELIGRID_PHOTOS_REGION',
  folder: 'VELIGRID_FOLDER',
} as const;

type Entry = keyof typeof VARIABLES;
type Said = Readonly<Partial<Record<Entry, string>>>;
type Environment = Readonly<Record<string, string | undefined>>;

const wrong = (message: string): VeligridError => new VeligridError('bad-argument', message);

/** Where relative paths begin, and what was said. */
interface Read {
  readonly said: Said;
  readonly from: string;
  /** How the source is called in messages. */
  readonly source: string;
}

function bucketOf(photos: string, { endpoint, region }: Said): BucketPlace {
  const [, bucket = '', prefix = ''] = /^s3:\/\/([^/]+)\/?(.*)$/.exec(photos) ?? [];
  if (bucket === '') throw wrong(`photos is ${photos}. Give s3://BUCKET/PREFIX or a folder.`);
  return {
    bucket,
    prefix: prefix === '' || prefix.endsWith('/') ? prefix : `${prefix}/`,
    ...(endpoint === undefined ? {} : { endpoint }),
    ...(region === undefined ? {} : { region }),
  };
}

function placeOf({ said, from, source }: Read, environment: Environment): DatabasePlace {
  const get = (entry: Entry): string | undefined => said[entry] ?? environment[VARIABLES[entry]];
  const need = (entry: Entry): string => {
    const value = get(entry);
    if (value === undefined || value === '')
      throw wrong(`${source} says no ${entry}. Add it, or set ${VARIABLES[entry]}.`);
    return value;
  };
  const address = need('database');
  if (!/^postgres(ql)?:\/\//.test(address))
    throw wrong('database has to be an address: postgresql://NAME@HOST/DATABASE');
  const photos = need('photos');
  const [endpoint, region] = [get('endpoint'), get('region')];
  const reached = { ...(endpoint === undefined ? {} : { endpoint }), ...(region === undefined ? {} : { region }) };
  return {
    address,
    photos: photos.startsWith('s3:') ? bucketOf(photos, reached) : resolve(from, photos),
    folder: resolve(from, need('folder')),
  };
}

function parsed(text: string, path: string): Said {
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch {
    throw wrong(`${path} is not JSON. docs/many-machines.md shows one.`);
  }
  const entries = typeof read === 'object' && read !== null ? Object.entries(read) : [];
  for (const [entry, value] of entries) {
    if (!Object.hasOwn(VARIABLES, entry))
      throw wrong(`${path} says ${entry}, which nobody knows. Known: ${Object.keys(VARIABLES).join(', ')}.`);
    if (typeof value !== 'string') throw wrong(`${entry} in ${path} has to be text.`);
  }
  return Object.fromEntries(entries);
}

/** Read, write and run by everybody. */
const OTHERS = 0o007;

/**
 * Reads the file that tells where a store of many machines lies. What it leaves out comes from the environment.
 *
 * @throws VeligridError `bad-argument` for what is missing or wrong, or when everybody may read a password in it
 */
export async function readDatabaseFile(path: string, environment: Environment = process.env): Promise<DatabasePlace> {
  let text: string;
  let mode: number;
  try {
    [text, { mode }] = await Promise.all([readFile(path, 'utf8'), stat(path)]);
  } catch (error) {
    throw new VeligridError('bad-argument', `${path} can't be read. Give the file that tells the database.`, {
      cause: error,
    });
  }
  const said = parsed(text, path);
  const holdsPassword = /^\w+:\/\/[^/@]*:[^/@]+@/.test(said.database ?? '');
  if (holdsPassword && (mode & OTHERS) !== 0 && process.platform !== 'win32')
    throw wrong(`${path} holds a password, and everybody on this machine may read it. First: chmod 600 ${path}`);
  return placeOf({ said, from: dirname(resolve(path)), source: path }, environment);
}

/** The place that the environment alone tells, or null when it names no database. */
export function placeFromEnvironment(environment: Environment = process.env): DatabasePlace | null {
  if (environment[VARIABLES.database] === undefined) return null;
  return placeOf({ said: {}, from: process.cwd(), source: 'The environment' }, environment);
}
