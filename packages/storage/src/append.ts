import { createHash } from 'node:crypto';
import {
  canonicalJson,
  fromRow,
  sqlName,
  toRow,
  type Chained,
  type LogTable,
  type Row,
  type SqlValue,
} from './columns.js';
import { nextEntry, together, type Context, type Working } from './context.js';

/** Link of a row without one before it. */
export const FIRST_LINK: string = '0'.repeat(64);

/** What is given for a new row; the store gives the rest. */
export type NewRow<R> = Omit<R, 'entry' | 'id' | 'order' | 'at' | 'link'> & { readonly id?: string };

export const sha256Of = (content: string | Uint8Array): string => createHash('sha256').update(content).digest('hex');

/**
 * The link of a row: it says the row and the whole chain before it. Bytes are left out, a column of their own holds
 * their SHA-256.
 */
export function linkOf(before: string, row: Readonly<Row>): string {
  const said = Object.entries(row).filter(
    ([column, value]) => column !== 'entry' && column !== 'link' && !(value instanceof Uint8Array),
  );
  return sha256Of(`${before}\n${canonicalJson(Object.fromEntries(said))}`);
}

/** The last row of a chain, or null. */
export async function lastOf<R extends Chained>(
  { db }: Context,
  table: LogTable<R>,
  chain: Readonly<Record<string, SqlValue>>,
): Promise<R | null> {
  let query = db.selectFrom(table.name).selectAll();
  for (const key of table.chain) query = query.where(sqlName(key), '=', chain[key] ?? null);
  const row = await query.orderBy('order', 'desc').limit(1).executeTakeFirst();
  return row === undefined ? null : fromRow(table, row);
}

async function appendIn<R extends Chained>(
  working: Working,
  table: LogTable<R>,
  rows: readonly NewRow<R>[],
): Promise<R[]> {
  const [first] = rows as readonly object[] as readonly Readonly<Record<string, SqlValue>>[];
  if (first === undefined) return [];
  const last = await lastOf(working, table, first);
  let [order, link] = [last?.order ?? 0, last?.link ?? FIRST_LINK];
  let entry = await nextEntry(working, table.name);
  const kept: R[] = [];
  for (const row of rows) {
    order += 1;
    const values = toRow(table, { id: working.newId(), ...row, at: working.now(), order });
    link = linkOf(link, values);
    const whole = { ...values, entry, link };
    await working.db.insertInto(table.name).values(whole).execute();
    kept.push(fromRow(table, whole));
    entry += 1;
  }
  return kept;
}

/** Appends rows of one chain to an append-only table, all or none. */
export function append<R extends Chained>(
  context: Context,
  table: LogTable<R>,
  rows: readonly NewRow<R>[],
): Promise<R[]> {
  return together(context, (working) => appendIn(working, table, rows));
}
