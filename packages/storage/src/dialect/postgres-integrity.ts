import { sql } from 'kysely';
import type { Db } from './backend.js';

/** Most rows told of one flaw. */
const MOST = 20;

interface Reference {
  readonly child: string;
  readonly childColumn: string;
  readonly parent: string;
  readonly parentColumn: string;
}

/** References between tables, each of one column. */
const referencesOf = async (db: Db): Promise<Reference[]> =>
  (
    await sql<Reference>`
      select child.relname as "child", parent.relname as "parent", a.attname as "childColumn", b.attname as "parentColumn"
      from pg_constraint c join pg_class child on child.oid = c.conrelid join pg_class parent on parent.oid = c.confrelid
        join pg_attribute a on a.attrelid = c.conrelid and a.attnum = c.conkey[1]
        join pg_attribute b on b.attrelid = c.confrelid and b.attnum = c.confkey[1]
      where c.contype = 'f' and c.connamespace = current_schema()::regnamespace order by 1, 3`.execute(db)
  ).rows;

/** Rows that name what is not there: the database lets none in, unless somebody told it not to look. */
async function missingParents(db: Db): Promise<string[]> {
  const found: string[] = [];
  for (const { child, childColumn, parent, parentColumn } of await referencesOf(db)) {
    const { rows } = await sql`
      select 1 from ${sql.table(child)} c where c.${sql.ref(childColumn)} is not null and not exists
        (select 1 from ${sql.table(parent)} p where p.${sql.ref(parentColumn)} = c.${sql.ref(childColumn)}) limit ${MOST}`.execute(
      db,
    );
    found.push(...rows.map(() => `a row of ${child} names a ${parent} that is not there`));
  }
  return found;
}

/** Settings that break the promise that what was answered is on disk. */
async function unsafeSettings(db: Db): Promise<string[]> {
  const { rows } = await sql<{ name: string }>`
    select name from pg_settings where name in ('fsync', 'full_page_writes') and setting = 'off'`.execute(db);
  return rows.map(({ name }) => `${name} is off, so a power cut may lose or spoil what was kept`);
}

/** What guards rows that are only ever added, and was switched off. */
async function switchedOff(db: Db): Promise<string[]> {
  const { rows } = await sql<{ table: string }>`
    select distinct t.tgrelid::regclass::text as "table" from pg_trigger t join pg_class c on c.oid = t.tgrelid
    where not t.tgisinternal and t.tgenabled <> 'O' and c.relnamespace = current_schema()::regnamespace`.execute(db);
  return rows.map(({ table }) => `rows of ${table} may be changed, as its guard is switched off`);
}

async function brokenIndexes(db: Db): Promise<string[]> {
  const { rows } = await sql<{ name: string }>`
    select i.indexrelid::regclass::text as "name" from pg_index i join pg_class c on c.oid = i.indrelid
    where not (i.indisvalid and i.indisready) and c.relnamespace = current_schema()::regnamespace`.execute(db);
  return rows.map(({ name }) => `the index ${name} is not whole: rebuild it with reindex`);
}

/** What the database itself tells that is not as it should be. Rows are read, and compared with their links, elsewhere. */
export async function postgresIntegrity(db: Db): Promise<string[]> {
  try {
    return [
      ...(await unsafeSettings(db)),
      ...(await switchedOff(db)),
      ...(await brokenIndexes(db)),
      ...(await missingParents(db)),
    ];
  } catch (error) {
    return [(error as Error).message];
  }
}
