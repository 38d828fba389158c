import { VeligridError } from '@veligrid/model';
import type { Transaction } from 'kysely';
import type { Backend, Tables } from '../dialect/backend.js';
import { m0001Start } from './m0001-start.js';
import { m0002Season } from './m0002-season.js';
import { m0003Plans } from './m0003-plans.js';
import { m0004Parents } from './m0004-parents.js';
import { m0005Access } from './m0005-access.js';

/** One step of the schema. A step that has been shipped is never edited. */
export interface Migration {
  /** Begins with its number. */
  readonly name: string;
  up(db: Transaction<Tables>, backend: Backend): Promise<void>;
}

/** The step that made the tables of the season. */
export const SEASON_STEP = '0002-season';
/** The step that made the table of plans. */
export const PLANS_STEP = '0003-plans';
/** The step that made the tables of tokens and of what happens at the door. */
export const ACCESS_STEP = '0005-access';
/** The step that made the tables of parents and of sperm seen on eggs. */
export const PARENTS_STEP = '0004-parents';

/** In order. */
export const MIGRATIONS: readonly Migration[] = [
  { name: '0001-start', up: m0001Start },
  { name: SEASON_STEP, up: m0002Season },
  { name: PLANS_STEP, up: m0003Plans },
  { name: PARENTS_STEP, up: m0004Parents },
  { name: ACCESS_STEP, up: m0005Access },
];

/** Names of the steps that a database has seen, in order. */
export async function appliedMigrations({ db }: Pick<Backend, 'db'>): Promise<readonly string[]> {
  const rows = await db.selectFrom('migration').select('name').orderBy('name').execute();
  return rows.map((row) => String(row['name']));
}

/** Steps that a database of an older program has still to take; none for a new database, which has nothing to lose. */
export async function stepsToTake(
  backend: Backend,
  migrations: readonly Migration[] = MIGRATIONS,
): Promise<readonly Migration[]> {
  if ((await backend.columnNames('migration')).length === 0) return [];
  const applied = await appliedMigrations(backend);
  return applied.length === 0 ? [] : migrations.filter(({ name }) => !applied.includes(name));
}

/**
 * Brings a database up to date. Several processes may do so at once: all steps run in one transaction that only one can
 * have, and each looks again what is still to be done once it has it.
 *
 * @param at time to note, ISO 8601 UTC
 * @throws VeligridError `store-failed` when a newer program has made the database
 */
export async function migrate(
  backend: Backend,
  at: string,
  migrations: readonly Migration[] = MIGRATIONS,
): Promise<void> {
  await backend.db.transaction().execute(async (db) => {
    const table = db.schema
      .createTable('migration')
      .ifNotExists()
      .addColumn('name', backend.types.text, (column) => column.notNull().primaryKey())
      .addColumn('at', backend.types.text, (column) => column.notNull());
    await backend.finishTable(table).execute();
    const applied = await appliedMigrations({ db });
    const unknown = applied.filter((name) => !migrations.some((one) => one.name === name));
    if (unknown.length > 0) {
      const message = `The store was made by a newer Veligrid (${unknown.join(', ')}). Install that version, then open it again.`;
      throw new VeligridError('store-failed', message);
    }
    for (const migration of migrations) {
      const { name } = migration;
      if (applied.includes(name)) continue;
      await migration.up(db, backend);
      await db.insertInto('migration').values({ name, at }).execute();
    }
  });
}
