import { badArgument, VeligridError } from '@veligrid/model';

/** What a database column can hold. */
export type SqlValue = string | number | Uint8Array | null;
export type Row = Record<string, unknown>;

/** How a column is kept, in words that every dialect translates. */
export type SqlType = 'text' | 'whole' | 'number' | 'bytes';

/** One column: how it is kept, and how it is checked on its way in and out. */
export interface Column<T> {
  readonly type: SqlType;
  readonly optional: boolean;
  /** What it says, for people who read an export. */
  readonly about: string;
  /** Unit, as headers of exports write it, for example `um`. */
  readonly unit?: string;
  /** What kind of value it is, for the schema of an export. */
  readonly holds: 'text' | 'choice' | 'whole' | 'number' | 'yes-no' | 'time' | 'json' | 'bytes';
  readonly choices?: readonly string[];
  /** Left out of histories, and of exports unless asked for. */
  readonly secret?: boolean;
  /** Null when the value is right, else what is accepted. */
  readonly refusal: (value: unknown) => string | null;
  readonly toSql: (value: T) => SqlValue;
  readonly fromSql: (value: unknown) => unknown;
}

type Checked<T> = Omit<Column<T>, 'about' | 'optional'>;

const asIs = <T>(value: T): T => value;

/** Halves of characters and NUL do not come back from a database as they were, or are refused by it. */
const UNWRITABLE = /\p{Surrogate}/u;
const isWritable = (value: string): boolean => !UNWRITABLE.test(value) && !value.includes('\0');

const isText = (value: unknown): string | null =>
  typeof value === 'string' && isWritable(value) ? null : 'text in whole characters, without NUL';

/** ISO 8601 in UTC, to the millisecond, as JavaScript writes it: so that text sorts by time. */
const UTC = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/;

const isTime = (value: unknown): string | null =>
  typeof value === 'string' && UTC.test(value) && new Date(value).toJSON() === value
    ? null
    : 'a time in UTC such as 2026-06-01T09:30:00.000Z';

const make =
  <T extends SqlValue>(checked: Checked<T>) =>
  (about: string): Column<T> => ({ ...checked, about, optional: false });

const TEXT = { type: 'text', toSql: asIs, fromSql: asIs } as const;

export const text: (about: string) => Column<string> = make({ ...TEXT, holds: 'text', refusal: isText });
export const time: (about: string) => Column<string> = make({ ...TEXT, holds: 'time', refusal: isTime });

/** A name of something: text with something to see in it. */
export const name: (about: string) => Column<string> = make({
  ...TEXT,
  holds: 'text',
  refusal: (value) =>
    typeof value === 'string' && value.trim() !== '' && isWritable(value)
      ? null
      : 'text that is not empty, in whole characters, without NUL',
});

/** A SHA-256, 64 hexadecimal digits in lower case. */
export const sha256: (about: string) => Column<string> = make({
  ...TEXT,
  holds: 'text',
  refusal: (value) => (typeof value === 'string' && /^[0-9a-f]{64}$/.test(value) ? null : '64 hexadecimal digits'),
});

/** A whole number of 0 or more. */
export const whole: (about: string) => Column<number> = make({
  type: 'whole',
  holds: 'whole',
  refusal: (value) => (Number.isSafeInteger(value) && Number(value) >= 0 ? null : 'a whole number of 0 or more'),
  toSql: asIs,
  fromSql: asIs,
});

/** A finite number; above 0 with `least` 'above-0', otherwise 0 or more. */
export function number(about: string, unit: string, least: 'above-0' | '0' = '0'): Column<number> {
  const expected = least === '0' ? 'a number of 0 or more' : 'a number above 0';
  const right = (value: unknown): boolean =>
    Number.isFinite(value) && (least === '0' ? Number(value) >= 0 : Number(value) > 0);
  return {
    about,
    optional: false,
    type: 'number',
    holds: 'number',
    ...(unit === '' ? {} : { unit }),
    refusal: (value) => (right(value) ? null : expected),
    toSql: asIs,
    fromSql: asIs,
  };
}

export const yesNo = (about: string): Column<boolean> => ({
  about,
  optional: false,
  type: 'whole',
  holds: 'yes-no',
  refusal: (value) => (typeof value === 'boolean' ? null : 'true or false'),
  toSql: Number,
  fromSql: (value) => (value === 1 ? true : value === 0 ? false : value),
});

export const choice = <T extends string>(choices: readonly T[], about: string): Column<T> => ({
  ...TEXT,
  about,
  optional: false,
  holds: 'choice',
  choices,
  refusal: (value) => (choices.includes(value as T) ? null : `one of ${choices.join(', ')}`),
});

function parsed(value: unknown): unknown {
  if (typeof value !== 'string') return undefined;
  try {
    return JSON.parse(value) as unknown;
  } catch {
    return undefined;
  }
}

/** Whether a value comes back from JSON as it was: no undefined, no NaN. */
function isJson(value: unknown): boolean {
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return true;
  if (typeof value === 'number') return Number.isFinite(value);
  if (Array.isArray(value)) return value.every(isJson);
  return typeof value === 'object' && Object.values(value).every((one) => one === undefined || isJson(one));
}

/** Any JSON; `form` narrows it to objects or lists. */
export const json = <T>(about: string, form: 'any' | 'object' | 'list' = 'any'): Column<T> => ({
  about,
  optional: false,
  type: 'text',
  holds: 'json',
  refusal: (value) => {
    if (!isJson(value)) return 'JSON with finite numbers';
    if (form === 'list') return Array.isArray(value) ? null : 'a list';
    if (form === 'any') return null;
    return typeof value === 'object' && value !== null && !Array.isArray(value) ? null : 'an object';
  },
  toSql: (value) => canonicalJson(value),
  fromSql: parsed,
});

export const bytes = (about: string): Column<Uint8Array> => ({
  about,
  optional: false,
  type: 'bytes',
  holds: 'bytes',
  refusal: (value) => (value instanceof Uint8Array ? null : 'bytes'),
  toSql: asIs,
  fromSql: (value) => (value instanceof ArrayBuffer ? new Uint8Array(value) : value),
});

export const orNull = <T>(column: Column<T>): Column<T | null> => ({
  ...column,
  optional: true,
  refusal: (value) => (value === null ? null : column.refusal(value)),
  toSql: (value) => (value === null ? null : column.toSql(value)),
  fromSql: (value) => (value === null ? null : column.fromSql(value)),
});

/** Never shown in a history, nor in an export unless asked for. */
export const secret = <T>(column: Column<T>): Column<T> => ({ ...column, secret: true });

/** JSON text that is the same for the same content, whatever order its keys were given in. */
export function canonicalJson(value: unknown): string {
  // a count holds hundreds of objects with the same keys, and putting them in order is most of the work
  const orders = new Map<string, readonly string[]>();
  const inOrder = (one: unknown): unknown => {
    if (typeof one !== 'object' || one === null) return one;
    if (Array.isArray(one)) return one.some(isKeyed) ? one.map(inOrder) : one;
    const given = Object.keys(one);
    const shape = JSON.stringify(given);
    const keys = orders.get(shape) ?? given.sort();
    orders.set(shape, keys);
    const ordered = Object.create(null) as Record<string, unknown>;
    for (const key of keys) ordered[key] = inOrder((one as Readonly<Record<string, unknown>>)[key]);
    return ordered;
  };
  return JSON.stringify(inOrder(value));
}

/** Whether keys may lie somewhere in a value. */
const isKeyed = (value: unknown): boolean =>
  typeof value === 'object' && value !== null && (!Array.isArray(value) || value.some(isKeyed));

/** A table: its columns by the names the program uses. In the database they are written with underscores. */
export interface Table<R> {
  readonly name: string;
  readonly about: string;
  readonly columns: { readonly [K in keyof R]-?: Column<R[K]> };
  /** Columns that name the row. */
  readonly key: readonly string[];
  /** Columns that name a chain, in append-only tables: its rows are numbered 1, 2, 3 ... and linked. */
  readonly chain?: readonly string[];
}

/** Columns that every row of an append-only table has. */
export interface Chained {
  readonly entry: number;
  readonly id: string;
  readonly order: number;
  readonly by: string;
  readonly at: string;
  readonly link: string;
}

/** A table whose rows are only ever added. */
export interface LogTable<R extends Chained> extends Table<R> {
  readonly chain: readonly string[];
}

/** A table of any kind, to walk through all of them. */
export type AnyTable = Omit<Table<unknown>, 'columns'> & { readonly columns: Readonly<Record<string, Column<never>>> };

/** `addedAt` as `added_at`. */
export const sqlName = (key: string): string => key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

/** A column with the names that the program and the database have for it. */
interface Place {
  readonly key: string;
  readonly sql: string;
  readonly column: Column<unknown>;
}

const PLACES = new WeakMap<object, readonly Place[]>();

/** Columns of a table, worked out once: rows are read by the thousand. */
function placesOf(table: AnyTable): readonly Place[] {
  const places =
    PLACES.get(table.columns) ?? columnsOf(table).map(([key, column]) => ({ key, sql: sqlName(key), column }));
  PLACES.set(table.columns, places);
  return places;
}

/** Columns of a table by name. */
export const columnsOf = (table: AnyTable): [string, Column<unknown>][] =>
  Object.entries(table.columns as Readonly<Record<string, unknown>> as Readonly<Record<string, Column<unknown>>>);

const shown = (value: unknown): unknown =>
  typeof value === 'object' && value !== null ? JSON.stringify(value).slice(0, 200) : value;

/**
 * Checks values and makes the row to keep; columns that are not given are left out.
 *
 * @throws VeligridError `bad-argument` for a value that can't be kept
 */
export function toRow(table: AnyTable, values: object): Record<string, SqlValue> {
  const given = values as Readonly<Record<string, unknown>>;
  const row: Record<string, SqlValue> = {};
  for (const { key, sql, column } of placesOf(table)) {
    const value = given[key];
    if (value === undefined) continue;
    const expected = column.refusal(value);
    if (expected !== null) throw badArgument(`${key} of ${table.name}`, expected, shown(value));
    row[sql] = column.toSql(value);
  }
  return row;
}

/**
 * Checks a row that came back.
 *
 * @throws VeligridError `store-failed` when it holds what could never have been kept
 */
export function fromRow<R>(table: Table<R>, row: Row): R {
  const values: Record<string, unknown> = {};
  for (const { key, sql, column } of placesOf(table)) {
    const value = column.fromSql(row[sql]);
    const expected = column.refusal(value);
    if (expected !== null) {
      const message = `The store is damaged: ${key} in ${table.name} is not ${expected}. Run veligrid check, then restore a backup.`;
      throw new VeligridError('store-failed', message);
    }
    values[key] = value;
  }
  return values as R;
}

/** An object without some of its keys. */
export function without<R extends object, K extends keyof R>(row: R, ...keys: readonly K[]): Omit<R, K> {
  const left: Record<string, unknown> = {};
  for (const [key, value] of Object.entries(row)) if (!keys.includes(key as K)) left[key] = value;
  return left as Omit<R, K>;
}
