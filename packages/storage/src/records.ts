import { badArgument, VeligridError } from '@veligrid/model';
import { append } from './append.js';
import { canonicalJson, columnsOf, fromRow, toRow, type Table } from './columns.js';
import { nextEntry, together, type Context } from './context.js';
import type { Change, JsonObject, Kept, Records, Said } from './contract.js';
import { CHANGE, type Recorded } from './tables.js';

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

const picked = (values: Values, keys: readonly string[]): Values =>
  Object.fromEntries(keys.flatMap((key) => (values[key] === undefined ? [] : [[key, values[key]]])));

/** A row as the callers know it: without the store's own columns. */
export function asKept<Fields>(of: RecordTable<Fields>, row: Values): Kept<Fields> {
  const values = fromRow(of.table, row) as Values;
  return picked(values, [...fieldKeys(of), ...KEPT_KEYS.filter((key) => key !== 'entry')]) as Kept<Fields>;
}

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

/** Adding, reading and changing records of one table, with every version in the table of changes. */
export function recordsOf<Fields>(context: Context, of: RecordTable<Fields>): Records<Fields> {
  const { table } = of;
  const keys = fieldKeys(of);

  async function note(on: Context, kept: Kept<Fields>, said: Said): Promise<void> {
    const fields = shownFields(of, picked(kept, keys));
    const row = { by: said.by, tableName: table.name, recordId: kept.id, why: said.why ?? null, fields };
    await append(on, CHANGE, [row]);
  }

  async function read(on: Context, id: string): Promise<Kept<Fields> | null> {
    const row = await on.db.selectFrom(table.name).selectAll().where('id', '=', id).executeTakeFirst();
    return row === undefined ? null : asKept(of, row);
  }

  return {
    add: (fields, said) =>
      together(context, async (working) => {
        refuseUnknown(keys, fields as Values, table.name);
        refuseMissing(keys, fields as Values, table.name);
        const at = working.now();
        const own = {
          id: working.newId(),
          revision: 1,
          addedBy: said.by,
          addedAt: at,
          changedBy: said.by,
          changedAt: at,
        };
        const entry = await nextEntry(working, table.name);
        const row = toRow(table, { ...fields, ...of.derived?.(fields), ...own, entry });
        await working.db.insertInto(table.name).values(row).execute();
        const kept = asKept(of, row);
        await note(working, kept, said);
        return kept;
      }),

    get: (id) => read(context, id),

    async list() {
      const rows = await context.db.selectFrom(table.name).selectAll().orderBy('entry').execute();
      return rows.map((row) => asKept(of, row));
    },

    change: (id, revision, fields, said) =>
      together(context, async (working) => {
        refuseUnknown(keys, fields as Values, table.name);
        const before = await read(working, id);
        if (before === null) throw unknown(table.name, id);
        if (before.revision !== revision) {
          const message = `${before.changedBy} changed this ${table.name} in the meantime. Look at it again, then change it.`;
          throw new VeligridError('changed-meanwhile', message);
        }
        const own = { revision: revision + 1, changedBy: said.by, changedAt: working.now() };
        const row = toRow(table, { ...fields, ...of.derived?.(fields), ...own });
        await working.db.updateTable(table.name).set(row).where('id', '=', id).execute();
        const kept = { ...before, ...picked(fields as Values, keys), ...own };
        await note(working, kept, said);
        return kept;
      }),

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
