import { sqlName, type AnyTable, type Row } from './columns.js';
import type { Context } from './context.js';

/** Rows read at a time, so that a large store needs no large memory. */
const AT_ONCE = 200;

/** Blobs as bytes, whatever the driver calls them. */
const withBytes = (row: Row): Row =>
  Object.fromEntries(
    Object.entries(row).map(([key, value]) => [key, value instanceof ArrayBuffer ? new Uint8Array(value) : value]),
  );

/** Column that tells the order of a table's rows: as they were added where that is kept, else its key. */
const orderColumn = (table: AnyTable): string =>
  sqlName(Object.keys(table.columns).includes('entry') ? 'entry' : (table.key[0] ?? 'id'));

/** All rows of a table in order, a few hundred at a time. */
export async function* walk({ db }: Pick<Context, 'db'>, table: AnyTable): AsyncIterable<Row> {
  const column = orderColumn(table);
  let last: unknown = null;
  for (;;) {
    let query = db.selectFrom(table.name).selectAll().orderBy(column).limit(AT_ONCE);
    if (last !== null) query = query.where(column, '>', last as string);
    const rows = await query.execute();
    yield* rows.map(withBytes);
    last = rows.at(-1)?.[column];
    if (rows.length < AT_ONCE) return;
  }
}
