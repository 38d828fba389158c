import { createRequire } from 'node:module';
import { join } from 'node:path';

/** The parts of the database driver that the tests use themselves, below the store. */
export interface RawDatabase {
  exec(sql: string): void;
  prepare(sql: string): { all(...values: unknown[]): Record<string, unknown>[]; run(...values: unknown[]): unknown };
  close(): void;
}

const fromStorage = createRequire(new URL('../../packages/storage/package.json', import.meta.url));

/** Opens a store's database behind its back. */
export function rawDatabase(folder: string, name = 'veligrid.sqlite'): RawDatabase {
  const Database = fromStorage('libsql') as new (path: string) => RawDatabase;
  return new Database(join(folder, name));
}

/** Every row of every table of a store, bytes as hexadecimal digits. When the schema was made is left out. */
export function everyRow(folder: string, name?: string): Record<string, unknown[]> {
  const database = rawDatabase(folder, name);
  const tables = database.prepare(`select name from sqlite_master where type = 'table' order by name`).all();
  const rows = tables
    .map(({ name }) => String(name))
    .filter((name) => name !== 'migration')
    .map((name): [string, unknown[]] => [
      name,
      database
        .prepare(`select * from "${name}" order by 1, 2`)
        .all()
        .map((row) =>
          Object.fromEntries(
            Object.entries(row).map(([key, value]) => [
              key,
              value instanceof ArrayBuffer ? Buffer.from(value).toString('hex') : value,
            ]),
          ),
        ),
    ]);
  database.close();
  return Object.fromEntries(rows);
}
