import { Kysely, sql } from 'kysely';
import { copyRows, tablesThere } from '../copy-rows.js';
import { appliedMigrations, migrate, MIGRATIONS } from '../migrations/migrate.js';
import { TABLES } from '../tables.js';
import type { Backend, ColumnTypes, Db, Tables } from './backend.js';
import { oneWriterDialect } from './postgres-driver.js';
import { postgresIntegrity } from './postgres-integrity.js';
import { postgresPool } from './postgres-pool.js';
import type { Patience } from './postgres-silence.js';
import { sqliteBackend } from './sqlite.js';

/** Text is compared byte by byte, as in SQLite and whatever language the database was made for: times sort as text. */
const TYPES: ColumnTypes = {
  text: sql`text collate "C"`,
  whole: 'bigint',
  number: 'double precision',
  bytes: 'bytea',
};

/** Copies all rows, as they are at one moment, into a new SQLite file of the same steps of the schema. */
async function copyToFile(db: Db, path: string): Promise<void> {
  await db
    .transaction()
    .setIsolationLevel('repeatable read')
    .execute(async (from) => {
      const applied = await appliedMigrations({ db: from });
      const file = sqliteBackend(path);
      try {
        const steps = MIGRATIONS.filter(({ name }) => applied.includes(name));
        await migrate(file, new Date().toJSON(), steps);
        const tables = await tablesThere(file, TABLES);
        await file.db.transaction().execute((to) => copyRows(from, to, tables));
      } catch (error) {
        await file.close();
        throw error;
      }
      await file.closeWhole();
    });
}

/**
 * Opens a PostgreSQL database.
 *
 * @param address `postgresql://name@host:port/database`; what it leaves out comes from the usual PG variables
 * @param patience with a database that says nothing; only tests give their own
 */
export function postgresBackend(address: string, patience?: Patience): Backend {
  const db = new Kysely<Tables>({ dialect: oneWriterDialect(postgresPool(address, patience)) });
  return {
    db,
    types: TYPES,
    finishTable: (table) => table,
    async makeAppendOnly(on, table) {
      await sql`create or replace function veligrid_only_added() returns trigger language plpgsql as
        $$ begin raise exception 'rows of this table are only ever added'; end $$`.execute(on);
      await sql`create trigger ${sql.id(`${table}_only_added`)} before update or delete on ${sql.id(table)}
        for each row execute function veligrid_only_added()`.execute(on);
      await sql`create trigger ${sql.id(`${table}_not_emptied`)} before truncate on ${sql.id(table)}
        for each statement execute function veligrid_only_added()`.execute(on);
    },
    async columnNames(table) {
      const { rows } = await sql<{ name: string }>`select column_name as name from information_schema.columns
        where table_schema = current_schema() and table_name = ${table}`.execute(db);
      return rows.map(({ name }) => name);
    },
    integrity: () => postgresIntegrity(db),
    copyTo: (path) => copyToFile(db, path),
    async commonTime(on) {
      const { rows } = await sql<{ now: Date }>`select clock_timestamp() as now`.execute(on);
      return rows[0]?.now.toJSON() ?? null;
    },
    close: () => db.destroy(),
  };
}
