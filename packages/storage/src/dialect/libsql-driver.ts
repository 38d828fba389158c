import { badArgument, VeligridError } from '@veligrid/model';
import {
  CompiledQuery,
  SqliteAdapter,
  SqliteIntrospector,
  SqliteQueryCompiler,
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

/** One connection. Statements run at once, on this thread. */
class LibsqlConnection implements DatabaseConnection {
  readonly #database: Libsql.Database;

  constructor(database: Libsql.Database) {
    this.#database = database;
  }

  executeQuery<R>({ sql, parameters }: CompiledQuery): Promise<QueryResult<R>> {
    try {
      const statement = this.#database.prepare(sql);
      if (statement.reader) return Promise.resolve({ rows: statement.all(parameters) as R[] });
      const { changes } = statement.run(parameters);
      return Promise.resolve({ rows: [], numAffectedRows: BigInt(changes) });
    } catch (error) {
      return Promise.reject(translated(error));
    }
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

  async beginTransaction(connection: DatabaseConnection): Promise<void> {
    // at once for writing: one that begins by reading is refused when another process wrote in between
    await connection.executeQuery(CompiledQuery.raw('begin immediate'));
  }

  async commitTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('commit'));
  }

  async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    // a full disk ends the transaction by itself, and the reason must not be lost to a second error
    if (this.#database.inTransaction) await connection.executeQuery(CompiledQuery.raw('rollback'));
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
