import { VeligridError } from '@veligrid/model';
import { RECORD_KINDS } from '@veligrid/server';
import { asObject } from '../../score/json-value.js';
import { checkDateFormat, type Formats, type Kind } from '@veligrid/season';

/** One file of a season, and how its columns are called. */
export interface SeasonFile {
  readonly file: string;
  readonly kind: Kind;
  /** Heading in the file by field; a field that is not named has its own name. */
  readonly columns: ReadonlyMap<string, string>;
  /** What is the same for all rows, by field. */
  readonly always: ReadonlyMap<string, string>;
  readonly formats: Formats;
  /** Sign between columns. */
  readonly separator: string;
}

const wrong = (message: string): VeligridError => new VeligridError('bad-argument', `The mapping: ${message}`);

const FORMAT_KEYS = ['date', 'zone', 'decimal', 'thousands', 'separator'];

function knownKeys(what: string, given: object, keys: readonly string[]): void {
  const strange = Object.keys(given).find((key) => !keys.includes(key));
  if (strange !== undefined) throw wrong(`${what} has "${strange}"; known are ${keys.join(', ')}.`);
}

function textOf(given: Readonly<Record<string, unknown>>, key: string, usual: string): string {
  const value = given[key] ?? usual;
  if (typeof value !== 'string') throw wrong(`${key} has to be text.`);
  return value;
}

function oneOf<T extends string>(key: string, value: string, choices: readonly T[]): T {
  const found = choices.find((one) => one === value);
  if (found === undefined)
    throw wrong(`${key} is "${value}": expected one of ${choices.map((one) => `"${one}"`).join(', ')}.`);
  return found;
}

function formatsOf(given: Readonly<Record<string, unknown>>): Formats & { readonly separator: string } {
  knownKeys('formats', given, FORMAT_KEYS);
  const date = textOf(given, 'date', 'ISO');
  checkDateFormat(date);
  const zone = textOf(given, 'zone', '');
  if (zone !== '' && !/^(Z|[+-]\d\d:\d\d)$/.test(zone))
    throw wrong(`zone is "${zone}": expected Z, or an offset such as -04:00.`);
  const decimal = oneOf('decimal', textOf(given, 'decimal', '.'), ['.', ',']);
  const thousands = textOf(given, 'thousands', '');
  if (thousands === decimal) throw wrong('thousands and decimal are the same sign.');
  return {
    date,
    zone: zone === '' ? null : zone,
    decimal,
    separator: oneOf('separator', textOf(given, 'separator', ','), [',', ';', '\t']),
    ...(thousands === '' ? {} : { thousands: oneOf('thousands', thousands, ['.', ',', ' ', "'"]) }),
  };
}

function namesOf(what: string, given: unknown, { fields }: Kind): Map<string, string> {
  const names = asObject(given ?? {});
  if (names === null) throw wrong(`${what} has to be an object.`);
  knownKeys(what, names, [...fields.map(({ name }) => name), 'by']);
  return new Map(Object.keys(names).map((key) => [key, textOf(names, key, '')]));
}

const FILE_KEYS = ['file', 'holds', 'columns', 'always', 'formats'];

function fileOf(given: unknown, formats: Readonly<Record<string, unknown>>, kinds: readonly Kind[]): SeasonFile {
  const file = asObject(given);
  if (file === null) throw wrong('files has to be a list of objects.');
  knownKeys('a file', file, FILE_KEYS);
  const holds = textOf(file, 'holds', '');
  const kind = kinds.find(({ name }) => name === holds);
  if (kind === undefined)
    throw wrong(`holds is "${holds}": expected one of ${kinds.map(({ name }) => name).join(', ')}.`);
  const { separator, ...rest } = formatsOf({ ...formats, ...asObject(file['formats'] ?? {}) });
  const name = textOf(file, 'file', '');
  if (name === '') throw wrong('a file has no name.');
  return {
    file: name,
    kind,
    columns: namesOf('columns', file['columns'], kind),
    always: namesOf('always', file['always'], kind),
    formats: rest,
    separator,
  };
}

/**
 * Reads a mapping: which files hold what, how their columns are called, and how dates and numbers are written in them.
 *
 * @throws VeligridError `bad-argument` with one sentence for what is wrong in it
 */
export function parseMapping(text: string, kinds: readonly Kind[] = RECORD_KINDS): readonly SeasonFile[] {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch (cause) {
    throw new VeligridError('bad-argument', 'The mapping is not JSON. Look for a missing comma, quote or bracket.', {
      cause,
    });
  }
  const mapping = asObject(parsed);
  if (mapping === null) throw wrong('expected an object with formats and files.');
  knownKeys('it', mapping, ['formats', 'files']);
  const formats = asObject(mapping['formats'] ?? {});
  const files: unknown = mapping['files'];
  if (formats === null || !Array.isArray(files) || files.length === 0)
    throw wrong('expected formats, and files with one or more.');
  return files.map((file) => fileOf(file, formats, kinds));
}
