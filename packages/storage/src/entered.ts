import { append, type NewRow } from './append.js';
import { fromRow, sqlName, without, type Chained, type LogTable, type SqlValue } from './columns.js';
import type { Context } from './context.js';
import type { Entered, Said } from './contract.js';

/** A row without the store's own columns. */
export function asEntered<Fields>(row: Chained & Fields): Entered<Fields> {
  return without<Chained & Fields, 'entry' | 'order' | 'link'>(
    row,
    'entry',
    'order',
    'link',
  ) as unknown as Entered<Fields>;
}

/** Appends one row to its chain. */
export async function enter<R extends Chained>(
  context: Context,
  table: LogTable<R>,
  fields: Omit<R, keyof Chained>,
  { by }: Said,
): Promise<R> {
  const [row] = await append(context, table, [{ ...fields, by } as unknown as NewRow<R>]);
  return row as R;
}

/** Rows of an append-only table with one value in a column, oldest first. */
export async function rowsOf<R extends Chained>(
  { db }: Context,
  table: LogTable<R>,
  where: Readonly<Record<string, SqlValue>> = {},
): Promise<R[]> {
  let query = db.selectFrom(table.name).selectAll().orderBy('entry');
  for (const [key, value] of Object.entries(where)) query = query.where(sqlName(key), '=', value);
  return (await query.execute()).map((row) => fromRow(table, row));
}

/** The row of this id, or null. */
export async function rowById<R extends Chained>(context: Context, table: LogTable<R>, id: string): Promise<R | null> {
  const [row] = await rowsOf(context, table, { id });
  return row ?? null;
}
