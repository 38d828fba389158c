import { setTimeout } from 'node:timers/promises';
import { badArgument, VeligridError } from '@veligrid/model';
import {
  SqliteAdapter,
  SqliteIntrospector,
  SqliteQueryCompiler,
  type CompiledQuery,
  type DatabaseConnection,
  type Dialect,
  type Driver,
  type QueryResult,
} from 'kysely';
import type Libsql from 'libsql';

/** The message for whoever was refused by the database, by what it says. */
export function translated(error: unknown): VeligridError {
  const { code = '', message } = error as { readonly code?: string; readonly message: string };
  if (code === 'SQLITE_CONSTRAINT_FOREIGNKEY') {
    return badArgument('what a record belongs to', 'something that is kept', 'an id that is not there');
  }
  if (code === 'SQLITE_CONSTRAINT_UNIQUE' || code === 'SQLITE_CONSTRAINT_PRIMARYKEY') {
    const columns = message.replace(/^.*failed: /, '');
    return badArgument('a new record', `different from all others in ${columns}`, 'one that is there already');
  }
  return new VeligridError('store-failed', `${reason(code)} (${message}). What was sent was not kept.`, {
    cause: error,
  });
}

function reason(code: string): string {
  if (code === 'SQLITE_FULL') return 'The disk is full: make room, then try again';
  if (code.startsWith('SQLITE_BUSY')) return 'Another program keeps the store busy: try again, or end that program';
  if (code.startsWith('SQLITE_READONLY'))
    return 'The store can not be written: give the program the right to write there';
  if (code.startsWith('SQLITE_IOERR')) return 'The disk failed or is full: look at it, then start Veligrid again';
  if (code === 'SQLITE_CORRUPT' || code === 'SQLITE_NOTADB') return 'The store is damaged: restore a backup';
  return 'The database refused';
}

/** How long a statement waits for another program that is writing, milliseconds, and how long between two tries. */
const BUSY_MS = 10_000;
const RETRY_MS = 10;

const WRITES: readonly string[] = ['InsertQueryNode', 'UpdateQueryNode', 'DeleteQueryNode'];

const isBusy = (error: unknown): boolean =>
  String((error as { readonly code?: unknown }).code).startsWith('SQLITE_BUSY');

/**
 * One connection. Statements run at once, on this thread; waiting for others is done between them, as a wait on this thread
 * would stop everything else that it does, the other one's writing included.
 */
class LibsqlConnection implements DatabaseConnection {
  readonly #database: Libsql.Database;

  constructor(database: Libsql.Database) {
    this.#database = database;
  }

  async executeQuery<R>({ sql, parameters, query }: CompiledQuery): Promise<QueryResult<R>> {
    const alone = WRITES.includes(query.kind) && !this.#database.inTransaction;
    if (alone) await this.begin();
    try {
      const result = this.#execute<R>(sql, parameters);
      if (alone) this.commit();
      return result;
    } catch (error) {
      if (alone) this.rollback();
      throw translated(error);
    }
  }

  /** Begins to write, at once: one that begins by reading is refused when another program wrote in between. */
  async begin(): Promise<void> {
    for (let waited = 0; ; waited += RETRY_MS) {
      try {
        // not by a prepared statement: one that was refused would stay open, and nothing could be committed
        this.#database.exec('begin immediate');
        return;
      } catch (error) {
        if (!isBusy(error) || waited >= BUSY_MS) throw translated(error);
      }
      await setTimeout(RETRY_MS);
    }
  }

  commit(): void {
    try {
      this.#database.exec('commit');
    } catch (error) {
      throw translated(error);
    }
  }

  rollback(): void {
    // a full disk ends the transaction by itself, and the reason must not be lost to a second error
    if (this.#database.inTransaction) this.#database.exec('rollback');
  }

  #execute<R>(sql: string, parameters: readonly unknown[]): QueryResult<R> {
    const statement = this.#database.prepare(sql);
    if (statement.reader) return { rows: statement.all(parameters) as R[] };
    const { changes } = statement.run(parameters);
    return { rows: [], numAffectedRows: BigInt(changes) };
  }

  async *streamQuery<R>({ sql, parameters }: CompiledQuery): AsyncIterableIterator<QueryResult<R>> {
    const rows = this.#database.prepare(sql).iterate(parameters) as IterableIterator<R>;
    for (const row of rows) yield await Promise.resolve({ rows: [row] });
  }
}

/** Lets one at a time through, in the order they came. */
class Turnstile {
  #last: Promise<unknown> = Promise.resolve();
  #leave: () => void = () => undefined;

  async enter(): Promise<void> {
    const before = this.#last;
    let leave = (): void => undefined;
    this.#last = new Promise<void>((resolve) => {
      leave = resolve;
    });
    await before;
    this.#leave = leave;
  }

  leave(): void {
    this.#leave();
  }
}

/** Kysely's driver for one libsql connection that all share, one transaction at a time. */
class LibsqlDriver implements Driver {
  readonly #database: Libsql.Database;
  readonly #connection: LibsqlConnection;
  readonly #turnstile = new Turnstile();

  constructor(database: Libsql.Database) {
    this.#database = database;
    this.#connection = new LibsqlConnection(database);
  }

  init(): Promise<void> {
    return Promise.resolve();
  }

  async acquireConnection(): Promise<DatabaseConnection> {
    await this.#turnstile.enter();
    return this.#connection;
  }

  async beginTransaction(): Promise<void> {
    await this.#connection.begin();
  }

  commitTransaction(): Promise<void> {
    return Promise.resolve().then(() => {
      this.#connection.commit();
    });
  }

  rollbackTransaction(): Promise<void> {
    return Promise.resolve().then(() => {
      this.#connection.rollback();
    });
  }

  releaseConnection(): Promise<void> {
    this.#turnstile.leave();
    return Promise.resolve();
  }

  destroy(): Promise<void> {
    this.#database.close();
    return Promise.resolve();
  }
}

/** Kysely's SQLite dialect on a libsql connection. */
export const libsqlDialect = (database: Libsql.Database): Dialect => ({
  createDriver: () => new LibsqlDriver(database),
  createQueryCompiler: () => new SqliteQueryCompiler(),
  createAdapter: () => new SqliteAdapter(),
  createIntrospector: (db) => new SqliteIntrospector(db),
});
