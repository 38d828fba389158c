import type { AsyncLocalStorage } from 'node:async_hooks';
import type { Row, SqlValue } from './columns.js';
import type { Context } from './context.js';

/** Most rows of one table that are kept, some kB each. */
const MOST = 20_000;
/** More values than this in one question are too many for some databases. */
const AT_ONCE = 500;

type Known = Map<string, unknown>;

/** For each store that is open, whatever transaction asks: rows by table. */
const KNOWN = new WeakMap<AsyncLocalStorage<unknown>, Map<string, Known>>();

function knownOf({ running }: Context, table: string): Known {
  const tables = KNOWN.get(running) ?? new Map<string, Known>();
  KNOWN.set(running, tables);
  const known = tables.get(table) ?? new Map<string, unknown>();
  tables.set(table, known);
  return known;
}

/** Rows that never change under the name that stands for them. */
export interface Lasting<R> {
  readonly table: string;
  /** Names the row and what it says: the id in an append-only table, id and revision elsewhere. */
  readonly nameOf: (row: Row) => string;
  /** Makes a row what callers know. */
  readonly read: (row: Row) => R;
  /** Columns to read; all when left out. */
  readonly columns?: readonly string[];
}

/**
 * Rows by id, each read from the database once: thousands take long to read and check. What a transaction sees may never
 * come true, so it takes what is known but leaves nothing.
 *
 * @param wanted rows with their `id` and whatever names them
 * @returns the rows that there are, in the order of `wanted`
 */
export async function lastingRows<R>(context: Context, lasting: Lasting<R>, wanted: readonly Row[]): Promise<R[]> {
  const known = knownOf(context, lasting.table);
  const missing = wanted.filter((row) => !known.has(lasting.nameOf(row)));
  const [fresh, byId] = [new Map<string, R>(), new Map<unknown, R>()];
  for (let i = 0; i < missing.length; i += AT_ONCE) {
    const ids = missing.slice(i, i + AT_ONCE).map((row) => row['id'] as SqlValue);
    const query = context.db.selectFrom(lasting.table).where('id', 'in', ids);
    const rows = await (
      lasting.columns === undefined ? query.selectAll() : query.select([...lasting.columns])
    ).execute();
    for (const row of rows) {
      // many will look at it
      const read = Object.freeze(lasting.read(row));
      fresh.set(lasting.nameOf(row), read);
      byId.set(row['id'], read);
    }
  }
  const found = wanted.flatMap((row) => {
    // by id, as it may have been changed since it was asked for
    const one = byId.get(row['id']) ?? (known.get(lasting.nameOf(row)) as R | undefined);
    return one === undefined ? [] : [one];
  });
  if (!context.db.isTransaction) keep(known, fresh);
  return found;
}

/** Puts rows with those known, the oldest of which make room. */
function keep(known: Known, fresh: ReadonlyMap<string, unknown>): void {
  for (const [name, row] of fresh) known.set(name, row);
  for (const name of known.keys()) {
    if (known.size <= MOST) break;
    known.delete(name);
  }
}
