import type { AsyncLocalStorage } from 'node:async_hooks';
import type { Db } from './dialect/backend.js';

/** What every part of the store works with. */
export interface Context {
  /** The connection, or the transaction that the caller is in. */
  readonly db: Db;
  /** The time now, ISO 8601 UTC. */
  readonly now: () => string;
  /** The time now by the clock that all programs on the store have in common, for what one takes from another. */
  readonly commonNow: () => Promise<string>;
  /** A new id. */
  readonly newId: () => string;
  /** The transaction that whoever asks is in. Work that asks for another would wait for itself. */
  readonly running: AsyncLocalStorage<Db>;
}

/** The same where `db` is a transaction. */
export type Working = Context;

/** A context whose `db` is always the transaction that the caller is in, or the connection when in none. */
export function contextOf(db: Db, rest: Omit<Context, 'db'>): Context {
  return {
    ...rest,
    get db() {
      return rest.running.getStore() ?? db;
    },
  };
}

/** Does several things as one. Within a transaction it joins that one. */
export function together<T>(context: Context, work: (working: Working) => Promise<T>): Promise<T> {
  const { db, now, commonNow, newId, running } = context;
  if (db.isTransaction) return work({ db, now, commonNow, newId, running });
  return db
    .transaction()
    .execute((transaction) =>
      running.run(transaction, () => work({ db: transaction, now, commonNow, newId, running })),
    );
}

/** The number for the next row of a table. */
export async function nextEntry({ db }: Context, table: string): Promise<number> {
  const row = await db
    .selectFrom(table)
    .select(({ fn }) => fn.max('entry').as('last'))
    .executeTakeFirst();
  return Number(row?.['last'] ?? 0) + 1;
}
