import { VeligridError } from '@veligrid/model';
import { Kysely, sql } from 'kysely';
import Database from 'libsql';
import type { ColumnTypes, FileBackend, Tables } from './backend.js';
import { libsqlDialect, translated } from './libsql-driver.js';

const TYPES: ColumnTypes = { text: 'text', whole: 'integer', number: 'real', bytes: 'blob' };

function open(path: string, create: boolean): Database.Database {
  try {
    const database = new Database(path, { fileMustExist: !create });
    // a write-ahead log: who reads never waits for who writes; FULL: a commit has reached the disk when it returns
    // the driver waits for others itself; only while opening there is nothing else to do
    database.exec('pragma busy_timeout = 5000');
    database.exec('pragma journal_mode = wal');
    database.exec('pragma synchronous = full');
    database.exec('pragma foreign_keys = on');
    database.exec('pragma busy_timeout = 0');
    return database;
  } catch (error) {
    const { message } = error as Error;
    throw new VeligridError('store-failed', `The store's database ${path} could not be opened: ${message}`, {
      cause: error,
    });
  }
}

/** Reading a file that is no database gives its own sentence, so the check is made before anything else. */
function integrityOf(database: Database.Database): string[] {
  try {
    const pages = database.pragma('integrity_check(20)') as { readonly integrity_check: string }[];
    const keys = database.pragma('foreign_key_check') as { readonly table: string; readonly parent: string }[];
    const missing = keys
      .slice(0, 20)
      .map(({ table, parent }) => `a row of ${table} names a ${parent} that is not there`);
    return [...pages.map((row) => row.integrity_check).filter((found) => found !== 'ok'), ...missing];
  } catch (error) {
    return [translated(error).message];
  }
}

/**
 * Opens a SQLite database.
 *
 * @param path file; made when it is not there and `create` is true
 * @throws VeligridError `store-failed`
 */
export function sqliteBackend(path: string, create = true): FileBackend {
  const database = open(path, create);
  const db = new Kysely<Tables>({ dialect: libsqlDialect(database) });
  return {
    db,
    types: TYPES,
    finishTable: (table) => table.modifyEnd(sql`strict`),
    async makeAppendOnly(on, table) {
      for (const act of ['update', 'delete']) {
        await sql`create trigger ${sql.id(`${table}_no_${act}`)} before ${sql.raw(act)} on ${sql.id(table)}
          begin select raise(abort, 'rows of this table are only ever added'); end`.execute(on);
      }
    },
    async columnNames(table) {
      const { rows } = await sql<{ name: string }>`select name from pragma_table_info(${table})`.execute(db);
      return rows.map(({ name }) => name);
    },
    integrity: () => Promise.resolve(integrityOf(database)),
    async copyTo(copy) {
      await sql`vacuum into ${copy}`.execute(db);
    },
    // one machine, one clock
    commonTime: () => Promise.resolve(null),
    async closeWhole() {
      // the driver keeps the log beside the file until its memory is cleared up, so closing alone is not enough
      const [mode] = database.pragma('journal_mode = delete') as { readonly journal_mode: string }[];
      await db.destroy();
      if (mode?.journal_mode !== 'delete') {
        throw new VeligridError('store-failed', `${path} is in use by another program. End it, then try again.`);
      }
    },
    close: () => db.destroy(),
  };
}
