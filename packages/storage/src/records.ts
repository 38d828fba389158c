import { badArgument, VeligridError } from '@veligrid/model';
import { append } from './append.js';
import { canonicalJson, columnsOf, fromRow, toRow, type Table } from './columns.js';
import { nextEntry, together, type Context } from './context.js';
import type { Change, JsonObject, Kept, Records, Said } from './contract.js';
import { lastingRows, type Lasting } from './known-rows.js';
import { CHANGE } from './log-tables.js';
import { type Recorded } from './record-tables.js';

/** A table of records with what the store itself fills in. */
export interface RecordTable<Fields> {
  readonly table: Table<Recorded<Fields>>;
  /** Further columns that follow from the fields. */
  readonly derived?: (fields: Partial<Fields>) => Readonly<Record<string, unknown>>;
}

/** Columns of a record that are not its fields. */
const KEPT_KEYS = ['id', 'entry', 'revision', 'addedBy', 'addedAt', 'changedBy', 'changedAt'];

type Values = Record<string, unknown>;

/** Names of the fields of a table of records. */
function fieldKeys<Fields>({ table, derived }: RecordTable<Fields>): string[] {
  const own = Object.keys(derived?.({}) ?? {});
  return Object.keys(table.columns).filter((key) => !KEPT_KEYS.includes(key) && !own.includes(key));
}

function picked(values: Values, keys: readonly string[]): Values {
  const found: Values = {};
  for (const key of keys) if (values[key] !== undefined) found[key] = values[key];
  return found;
}

/** A row as the callers know it: without the store's own columns. */
export function asKept<Fields>(of: RecordTable<Fields>, row: Values): Kept<Fields> {
  const values = fromRow(of.table, row) as Values;
  return picked(values, [...fieldKeys(of), ...KEPT_KEYS.filter((key) => key !== 'entry')]) as Kept<Fields>;
}

/** Records as rows that never change: each change makes a revision of its own. */
export const lastingRecords = <Fields>(of: RecordTable<Fields>): Lasting<Kept<Fields>> => ({
  table: of.table.name,
  nameOf: ({ id, revision }) => `${String(id)} ${String(revision)}`,
  read: (row) => asKept(of, row),
});

/** What a history may show of the fields. */
function shownFields<Fields>({ table }: RecordTable<Fields>, fields: Values): JsonObject {
  const secrets = columnsOf(table).flatMap(([key, column]) => (column.secret === true ? [key] : []));
  return Object.fromEntries(Object.entries(fields).filter(([key]) => !secrets.includes(key))) as JsonObject;
}

const unknown = (table: string, id: string): VeligridError =>
  badArgument(`the id of a ${table}`, 'one that is kept', id);

/** A field given that the table does not know would be lost in silence. */
function refuseUnknown(keys: readonly string[], fields: Values, table: string): void {
  const strange = Object.keys(fields).find((key) => fields[key] !== undefined && !keys.includes(key));
  if (strange !== undefined) throw badArgument(`a field of ${table}`, `one of ${keys.join(', ')}`, strange);
}

function refuseMissing(keys: readonly string[], fields: Values, table: string): void {
  const missing = keys.find((key) => fields[key] === undefined);
  if (missing !== undefined) throw badArgument(`${missing} of ${table}`, 'given', 'nothing');
}

/** Notes a version in the history. */
async function note<Fields>(on: Context, of: RecordTable<Fields>, kept: Kept<Fields>, said: Said): Promise<void> {
  const fields = shownFields(of, picked(kept, fieldKeys(of)));
  const row = { by: said.by, tableName: of.table.name, recordId: kept.id, why: said.why ?? null, fields };
  await append(on, CHANGE, [row]);
}

async function read<Fields>({ db }: Context, of: RecordTable<Fields>, id: string): Promise<Kept<Fields> | null> {
  const row = await db.selectFrom(of.table.name).selectAll().where('id', '=', id).executeTakeFirst();
  return row === undefined ? null : asKept(of, row);
}

async function add<Fields>(
  working: Context,
  of: RecordTable<Fields>,
  fields: Fields,
  said: Said,
): Promise<Kept<Fields>> {
  const { table } = of;
  refuseUnknown(fieldKeys(of), fields as Values, table.name);
  refuseMissing(fieldKeys(of), fields as Values, table.name);
  const at = working.now();
  const own = { id: working.newId(), revision: 1, addedBy: said.by, addedAt: at, changedBy: said.by, changedAt: at };
  const entry = await nextEntry(working, table.name);
  const row = toRow(table, { ...fields, ...of.derived?.(fields), ...own, entry });
  await working.db.insertInto(table.name).values(row).execute();
  const kept = asKept(of, row);
  await note(working, of, kept, said);
  return kept;
}

/** What is to be changed: the record, the revision that was seen, and the fields. */
interface Changing<Fields> {
  readonly id: string;
  readonly revision: number;
  readonly fields: Partial<Fields>;
}

async function change<Fields>(
  working: Context,
  of: RecordTable<Fields>,
  { id, revision, fields }: Changing<Fields>,
  said: Said,
): Promise<Kept<Fields>> {
  const { table } = of;
  const values: Values = fields;
  refuseUnknown(fieldKeys(of), values, table.name);
  const before = await read(working, of, id);
  if (before === null) throw unknown(table.name, id);
  if (before.revision !== revision) {
    const message = `${before.changedBy} changed this ${table.name} in the meantime. Look at it again, then change it.`;
    throw new VeligridError('changed-meanwhile', message);
  }
  const own = { revision: revision + 1, changedBy: said.by, changedAt: working.now() };
  const row = toRow(table, { ...values, ...of.derived?.(fields), ...own });
  await working.db.updateTable(table.name).set(row).where('id', '=', id).execute();
  const kept = { ...before, ...picked(values, fieldKeys(of)), ...own };
  await note(working, of, kept, said);
  return kept;
}

/** Adding, reading and changing records of one table, with every version in the table of changes. */
export function recordsOf<Fields>(context: Context, of: RecordTable<Fields>): Records<Fields> {
  const { table } = of;
  return {
    add: (fields, said) => together(context, (working) => add(working, of, fields, said)),
    get: (id) => read(context, of, id),
    async list() {
      const rows = await context.db.selectFrom(table.name).select(['id', 'revision']).orderBy('entry').execute();
      return lastingRows(context, lastingRecords(of), rows);
    },
    change: (id, revision, fields, said) =>
      together(context, (working) => change(working, of, { id, revision, fields }, said)),
    async history(id): Promise<readonly Change<Fields>[]> {
      const rows = await context.db
        .selectFrom(CHANGE.name)
        .selectAll()
        .where('table_name', '=', table.name)
        .where('record_id', '=', id)
        .orderBy('order')
        .execute();
      return rows
        .map((row) => fromRow(CHANGE, row))
        .map(({ order, by, at, why, fields }) => ({ revision: order, by, at, why, fields: fields as Fields }));
    },
  };
}

/** Whether a record's current fields are those of the last entry of its history. */
export const agrees = <Fields>(of: RecordTable<Fields>, kept: Kept<Fields>, last: JsonObject): boolean =>
  canonicalJson(shownFields(of, picked(kept, fieldKeys(of)))) === canonicalJson(last);
