import { createHash } from 'node:crypto';
import { FIRST_LINK, linkOf } from '../append.js';
import { columnsOf, fromRow, sqlName, type AnyTable, type Row, type Table } from '../columns.js';
import type { Context } from '../context.js';
import type { Flaw, JsonObject, Kept } from '../contract.js';
import type { Backend } from '../dialect/backend.js';
import type { PicturePlace } from '../files/picture-place.js';
import { appliedMigrations, MIGRATIONS } from '../migrations/migrate.js';
import { unpackedText } from '../parts/packed-count.js';
import {
  BATCH_RECORDS,
  FILLING_RECORDS,
  MICROSCOPE_RECORDS,
  PHOTO_RECORDS,
  SAMPLE_RECORDS,
  TANK_RECORDS,
} from '../parts/samples.js';
import { BROODSTOCK_RECORDS, CULTURE_RECORDS } from '../parts/season.js';
import { STAFF_RECORDS } from '../parts/staff.js';
import { walk } from '../walk.js';
import { agrees, asKept, type RecordTable } from '../records.js';
import { CHANGE, DETECTIONS, type DetectionsRow } from '../log-tables.js';
import { FILE } from '../record-tables.js';
import { BROODSTOCK, CROSS_MADE } from '../season-tables.js';
import { TABLES } from '../tables.js';

/** What a check looks at. */
export interface Checked {
  readonly context: Context;
  readonly backend: Backend;
  readonly pictures: PicturePlace;
}

const RECORDS = [
  STAFF_RECORDS,
  MICROSCOPE_RECORDS,
  BATCH_RECORDS,
  TANK_RECORDS,
  SAMPLE_RECORDS,
  FILLING_RECORDS,
  PHOTO_RECORDS,
  BROODSTOCK_RECORDS,
  CULTURE_RECORDS,
] as unknown as readonly RecordTable<object>[];

/** A value that only the row knows, as the flaw names it. */
const nameOf = (table: AnyTable, row: Row): string => table.key.map((key) => String(row[sqlName(key)])).join(' ');

const damaged = (message: string): Flaw => ({
  code: 'row-damaged',
  message: `${message} Restore a backup made before.`,
});

async function* checkSchema({ backend }: Checked): AsyncIterable<Flaw> {
  const applied = await appliedMigrations(backend);
  for (const { name } of MIGRATIONS) {
    if (!applied.includes(name)) {
      yield { code: 'migration-missing', message: `Step ${name} of the schema was never taken. Open the store once.` };
    }
  }
  for (const table of TABLES) {
    const there = await backend.columnNames(table.name);
    const missing = columnsOf(table).find(([key]) => !there.includes(sqlName(key)));
    if (missing === undefined) continue;
    yield damaged(`The table ${table.name} has no column ${sqlName(missing[0])}.`);
  }
}

/** What a row itself says that can't be. */
function rowFlaw(table: AnyTable, row: Row): Flaw | null {
  try {
    fromRow(table as unknown as Table<unknown>, row);
    return null;
  } catch (error) {
    return damaged(`${nameOf(table, row)}: ${(error as Error).message}`);
  }
}

async function* checkChains({ context }: Checked, table: AnyTable, chain: readonly string[]): AsyncIterable<Flaw> {
  const lasts = new Map<string, { readonly order: number; readonly link: string }>();
  for await (const row of walk(context, table)) {
    const name = chain.map((key) => String(row[sqlName(key)])).join(' ');
    const before = lasts.get(name) ?? { order: 0, link: FIRST_LINK };
    const order = Number(row['order']);
    const link = String(row['link']);
    if (order !== before.order + 1) {
      const message = `Entries are missing from ${table.name} of ${name} before number ${order}.`;
      yield { code: 'chain-broken', message: `${message} Restore a backup made before.` };
    } else if (linkOf(before.link, row) !== link) {
      const message = `Entry ${order} of ${table.name} of ${name} is not what was kept.`;
      yield { code: 'chain-broken', message: `${message} Restore a backup made before.` };
    }
    lasts.set(name, { order, link });
  }
}

async function* checkCounts({ context }: Checked): AsyncIterable<Flaw> {
  for await (const raw of walk(context, DETECTIONS)) {
    if (rowFlaw(DETECTIONS, raw) !== null) continue;
    const row: DetectionsRow = fromRow(DETECTIONS, raw);
    if (unpackedText(row) === null) yield damaged(`The count ${row.id} of photo ${row.photoId} is not what was kept.`);
  }
}

async function lastFields({ db }: Context, table: string, id: string): Promise<JsonObject | null> {
  const row = await db
    .selectFrom(CHANGE.name)
    .selectAll()
    .where('table_name', '=', table)
    .where('record_id', '=', id)
    .orderBy('order', 'desc')
    .limit(1)
    .executeTakeFirst();
  return row === undefined ? null : fromRow(CHANGE, row).fields;
}

async function* checkRecords({ context }: Checked, of: RecordTable<object>): AsyncIterable<Flaw> {
  const table = of.table as unknown as AnyTable;
  for await (const row of walk(context, table)) {
    if (rowFlaw(table, row) !== null) continue;
    const kept: Kept<object> = asKept(of, row);
    const last = await lastFields(context, table.name, kept.id);
    if (last === null || !agrees(of, kept, last)) {
      yield damaged(`The ${table.name} ${kept.id} is not what its history says.`);
    }
  }
}

/** Parents of crosses are kept as lists, which the database itself does not look up. */
async function* checkParents({ context }: Checked): AsyncIterable<Flaw> {
  const animals = new Set<string>();
  for await (const row of walk(context, BROODSTOCK)) animals.add(String(row['id']));
  for await (const raw of walk(context, CROSS_MADE)) {
    if (rowFlaw(CROSS_MADE, raw) !== null) continue;
    const { name, dams, sires } = fromRow(CROSS_MADE, raw);
    const missing = [...dams, ...sires].find((id) => !animals.has(id));
    if (missing !== undefined) yield damaged(`The cross ${name} names an animal ${missing} that is not there.`);
  }
}

async function hashOf(content: AsyncIterable<Uint8Array>): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of content) hash.update(chunk);
  return hash.digest('hex');
}

async function* checkFiles({ context, pictures }: Checked): AsyncIterable<Flaw> {
  for await (const row of walk(context, FILE)) {
    const sha256 = String(row['sha256']);
    const path = pictures.nameOf(sha256);
    const size = await pictures.size(sha256);
    if (size === null) {
      yield { code: 'photo-missing', message: `The picture ${path} is missing. Bring it back from a backup.` };
    } else if (size !== row['bytes'] || (await hashOf(pictures.stream(sha256))) !== sha256) {
      yield {
        code: 'photo-changed',
        message: `The picture ${path} is not what was kept. Bring it back from a backup.`,
      };
    }
  }
}

async function* flaws(checked: Checked): AsyncIterable<Flaw> {
  for (const message of await checked.backend.integrity()) yield damaged(`The database says: ${message}.`);
  yield* checkSchema(checked);
  for (const table of TABLES) {
    for await (const row of walk(checked.context, table)) {
      const flaw = rowFlaw(table, row);
      if (flaw !== null) yield flaw;
    }
    if (table.chain !== undefined) yield* checkChains(checked, table, table.chain);
  }
  yield* checkCounts(checked);
  for (const records of RECORDS) yield* checkRecords(checked, records);
  yield* checkParents(checked);
  yield* checkFiles(checked);
}

/** Looks through database and pictures; at most 1,000 flaws are told. */
export async function checkStore(checked: Checked): Promise<Flaw[]> {
  const found: Flaw[] = [];
  try {
    for await (const flaw of flaws(checked)) {
      found.push(flaw);
      if (found.length >= 1000) break;
    }
  } catch (error) {
    found.push(damaged(`The check could not go on: ${(error as Error).message}`));
  }
  return found;
}
