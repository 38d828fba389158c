import { join } from 'node:path';
import { stringify } from 'csv-stringify/sync';
import { fromRow, sqlName, type AnyTable, type Row, type Table } from '../columns.js';
import type { Context } from '../context.js';
import { copyPictures, emptyFolder } from '../backup.js';
import { DETECTIONS } from '../log-tables.js';
import { onDisk } from '../files/disk-failure.js';
import { machineDisk, type Disk } from '../files/disk.js';
import { folderPlace } from '../files/picture-place.js';
import { DATABASE, PICTURES } from '../layout.js';
import { appliedMigrations } from '../migrations/migrate.js';
import { openDatabase } from '../open-database.js';
import { openPlace } from '../place/open-place.js';
import type { StorePlace } from '../place/store-place.js';
import { unpackCount } from '../parts/packed-count.js';
import { walk } from '../walk.js';
import { cell, exportedTables, fieldsOf, fileColumns, headOf, LARVA_FIELDS, LARVAE, larvaRow } from './fields.js';
import { dataPackage, type Resource } from './data-package.js';
import { writeWorkbook } from './workbook.js';

/** How a store is exported. */
export interface ExportOptions {
  /** Whether password hashes and sign-ins go along. Default false: what is handed to others holds no keys. */
  readonly withPasswords?: boolean;
  /** Whether the pictures go along, which may be many gigabytes. Default true; without them it can't be imported. */
  readonly withPictures?: boolean;
  readonly now?: () => Date;
  readonly disk?: Disk;
}

/** Folder of the tables within an export. */
export const TABLES_FOLDER = 'data';

const line = (cells: readonly string[]): Uint8Array => Buffer.from(stringify([cells]));

/** The values of a row as its file says them; what is secret only when asked for. */
function cellsOf(table: AnyTable, row: Row, withPasswords: boolean): string[] {
  const values = fromRow<Readonly<Record<string, unknown>>>(
    table as unknown as Table<Readonly<Record<string, unknown>>>,
    row,
  );
  const cells = fileColumns(table).map(([key, column]) => {
    if (column.secret === true && !withPasswords) return '';
    // JSON text is written as such: within quotes it would be text
    const kept = row[sqlName(key)];
    return column.holds === 'json' && typeof kept === 'string' ? kept : cell(values[key]);
  });
  if (table.name !== DETECTIONS.name) return cells;
  const packed = fromRow(DETECTIONS, row);
  return [...cells, cell(headOf(unpackCount(packed, packed.photoId)))];
}

async function* tableLines(context: Context, table: AnyTable, withPasswords: boolean): AsyncIterable<Uint8Array> {
  yield line(fieldsOf(table).map(({ name }) => name));
  for await (const row of walk(context, table)) yield line(cellsOf(table, row, withPasswords));
}

async function* larvaLines(context: Context): AsyncIterable<Uint8Array> {
  yield line(LARVA_FIELDS.map(({ name }) => name));
  for await (const row of walk(context, DETECTIONS)) {
    const packed = fromRow(DETECTIONS, row);
    const { detections } = unpackCount(packed, packed.photoId);
    if (detections.length > 0) yield Buffer.from(stringify(detections.map((one) => larvaRow(packed.id, one))));
  }
}

async function writeTables(context: Context, folder: string, disk: Disk, withPasswords: boolean): Promise<Resource[]> {
  const resources: Resource[] = [];
  await disk.makeFolder(join(folder, TABLES_FOLDER));
  for (const table of exportedTables(withPasswords)) {
    const path = `${TABLES_FOLDER}/${table.name}.csv`;
    await disk.writeNew(join(folder, path), tableLines(context, table, withPasswords));
    const key = table.key.map(sqlName);
    resources.push({
      name: table.name.replaceAll('_', '-'),
      path,
      description: table.about,
      fields: fieldsOf(table),
      key,
    });
  }
  const path = `${TABLES_FOLDER}/${LARVAE}.csv`;
  await disk.writeNew(join(folder, path), larvaLines(context));
  const about = 'everything found in the photos, before any decision';
  resources.push({ name: LARVAE, path, description: about, fields: LARVA_FIELDS, key: ['detections_id', 'id'] });
  return resources;
}

/**
 * Writes everything that a store keeps as a tabular data package (Frictionless Data, specs.frictionlessdata.io): a CSV for
 * each table with units in its headers, `datapackage.json` that describes them, the pictures, and a workbook for people.
 * The store may be in use: what was there at one moment is exported.
 *
 * @param where the store is
 * @param to a folder that is empty or new
 */
export async function exportStore(where: StorePlace, to: string, options: ExportOptions = {}): Promise<void> {
  const { withPasswords = false, withPictures = true, now = () => new Date(), disk = machineDisk } = options;
  await onDisk('The export was not made', async () => {
    const live = await openPlace(where, { disk, create: false });
    const snapshot = join(to, `unfinished-${DATABASE}`);
    try {
      await emptyFolder(disk, to, 'export');
      await live.backend.copyTo(snapshot);
    } finally {
      await live.backend.close();
    }
    const copy = await openDatabase(snapshot, {}, false);
    try {
      const resources = await writeTables(copy.context, to, disk, withPasswords);
      if (withPictures) await copyPictures(copy.context, live.pictures, folderPlace(disk, join(to, PICTURES)));
      await disk.writeNew(join(to, 'for-people.xlsx'), [await writeWorkbook(copy.context)]);
      const described = dataPackage(resources, {
        created: now().toJSON(),
        steps: await appliedMigrations(copy.backend),
        withPictures,
      });
      await disk.writeNew(join(to, 'datapackage.json'), [Buffer.from(`${JSON.stringify(described, null, 2)}\n`)]);
      await disk.syncFolder(to);
    } finally {
      await copy.backend.close();
      for (const ending of ['', '-wal', '-shm']) await disk.remove(`${snapshot}${ending}`);
    }
  });
}
