import { ACCESS_TOKEN, SIGN_IN_EVENT } from '../access-tables.js';
import { join } from 'node:path';
import { pipeline, Readable } from 'node:stream';
import { parse } from 'csv-parse';
import { VeligridError, type Detection, type PhotoCount } from '@veligrid/model';
import { emptyFolder } from '../backup.js';
import { columnsOf, sqlName, toRow, type AnyTable, type Column, type SqlValue } from '../columns.js';
import { together, type Working } from '../context.js';
import { onDisk } from '../files/disk-failure.js';
import { machineDisk, type Disk } from '../files/disk.js';
import { pathOf, placeFile } from '../files/place-file.js';
import { DATABASE, PICTURES } from '../layout.js';
import { DETECTIONS, PLAN } from '../log-tables.js';
import { ACCESS_STEP, PARENTS_STEP, PLANS_STEP, SEASON_STEP } from '../migrations/migrate.js';
import { openDatabase } from '../open-database.js';
import { packCount } from '../parts/packed-count.js';
import { FILE } from '../record-tables.js';
import { PARENTAGE, SEASON_TABLES, SPERM_CHECK } from '../season-tables.js';
import { TABLES } from '../tables.js';
import { TABLES_FOLDER } from './export-store.js';
import { fromLarvaRow, HEAD, LARVAE } from './fields.js';

type CsvRow = Readonly<Record<string, string>>;

const refused = (message: string): VeligridError =>
  new VeligridError('bad-argument', `${message} Nothing was imported: export the store anew, or restore a backup.`);

async function* rowsOf(disk: Disk, path: string): AsyncIterable<CsvRow> {
  const parser = parse({ columns: true, bom: true });
  pipeline(Readable.from(disk.stream(path)), parser, () => undefined);
  try {
    for await (const row of parser) yield row as CsvRow;
  } catch (error) {
    const { code = '', message } = error as NodeJS.ErrnoException;
    if (code.startsWith('CSV_')) throw refused(`${path} is not a valid CSV (${message}).`);
    throw error;
  }
}

const NUMBERS: readonly string[] = ['whole', 'number'];
const YES_NO: Readonly<Record<string, boolean>> = { true: true, false: false };

/** A cell as the value it says; what it can't say stays text, and is refused when the row is checked. */
function valueOf({ holds, optional }: Column<unknown>, said: string): unknown {
  if (said === '' && optional) return null;
  if (holds === 'json') return JSON.parse(said) as unknown;
  if (holds === 'yes-no') return YES_NO[said] ?? said;
  return NUMBERS.includes(holds) && said !== '' ? Number(said) : said;
}

function rowFrom(table: AnyTable, row: CsvRow, path: string): Record<string, SqlValue> {
  try {
    const values = columnsOf(table).flatMap(([key, column]): [string, unknown][] => {
      const said = row[sqlName(key)];
      return said === undefined ? [] : [[key, valueOf(column, said)]];
    });
    return toRow(table, Object.fromEntries(values));
  } catch (error) {
    throw refused(`${path} holds what can't be kept: ${(error as Error).message}.`);
  }
}

/** Rows of detections with their counts packed again, each checked against the SHA-256 of what was exported. */
async function* countRows(disk: Disk, folder: string): AsyncIterable<Record<string, SqlValue>> {
  const path = join(folder, `${DETECTIONS.name}.csv`);
  const larvae = rowsOf(disk, join(folder, `${LARVAE}.csv`))[Symbol.asyncIterator]();
  for await (const row of rowsOf(disk, path)) {
    const kept = rowFrom(DETECTIONS, row, path);
    const detections: Detection[] = [];
    while (detections.length < Number(kept['objects'])) {
      const next: IteratorResult<CsvRow, unknown> = await larvae.next();
      if (next.done === true || next.value['detections_id'] !== kept['id']) break;
      detections.push(fromLarvaRow(next.value));
    }
    const count = { ...(JSON.parse(row[HEAD] ?? '{}') as object), detections } as unknown as PhotoCount;
    const packed = packCount(count);
    if (packed.sha256 !== kept['sha256']) throw refused(`The count ${row['id'] ?? ''} is not what was exported.`);
    yield { ...kept, payload: packed.payload };
  }
}

async function* plainRows(disk: Disk, path: string, table: AnyTable): AsyncIterable<Record<string, SqlValue>> {
  for await (const row of rowsOf(disk, path)) yield rowFrom(table, row, path);
}

/** Steps of the schema that the exported store had seen. */
async function stepsOf(disk: Disk, from: string): Promise<readonly unknown[]> {
  let text = '';
  for await (const chunk of disk.stream(join(from, 'datapackage.json'))) text += Buffer.from(chunk).toString('utf8');
  try {
    const { steps } = JSON.parse(text) as { readonly steps?: unknown };
    return Array.isArray(steps) ? (steps as readonly unknown[]) : [];
  } catch {
    throw refused(`${join(from, 'datapackage.json')} is not JSON.`);
  }
}

/** Tables that came after the first step, by the step that made them. */
const MADE_BY: readonly (readonly [step: string, tables: readonly AnyTable[]])[] = [
  [SEASON_STEP, SEASON_TABLES],
  [PLANS_STEP, [PLAN]],
  [PARENTS_STEP, [PARENTAGE, SPERM_CHECK]],
  [ACCESS_STEP, [ACCESS_TOKEN, SIGN_IN_EVENT]],
];

/** Whether an export may lack a table: one for others holds no sign-ins, one of an older version not what came later. */
const mayLack = (table: AnyTable, steps: readonly unknown[]): boolean =>
  table.name === 'sign_in' || MADE_BY.some(([step, tables]) => tables.includes(table) && !steps.includes(step));

async function importTables(working: Working, disk: Disk, from: string): Promise<void> {
  const folder = join(from, TABLES_FOLDER);
  const steps = await stepsOf(disk, from);
  for (const table of TABLES) {
    const path = join(folder, `${table.name}.csv`);
    if ((await disk.size(path)) === null && mayLack(table, steps)) continue;
    const rows = table.name === DETECTIONS.name ? countRows(disk, folder) : plainRows(disk, path, table);
    for await (const row of rows) await working.db.insertInto(table.name).values(row).execute();
  }
}

async function importPictures(disk: Disk, from: string, to: string): Promise<void> {
  const path = join(from, TABLES_FOLDER, `${FILE.name}.csv`);
  for await (const row of rowsOf(disk, path)) {
    const { sha256 = '' } = row;
    const placed = await placeFile(disk, to, disk.stream(pathOf(join(from, PICTURES), sha256)));
    if (placed.sha256 !== sha256) throw refused(`The picture ${sha256} is not what was exported.`);
  }
}

/**
 * Makes a store from an export. What comes out has the same rows as what was exported.
 *
 * @param from folder of the export
 * @param folder of the new store, empty or new
 * @throws VeligridError `bad-argument` when it is no whole export
 */
export async function importStore(
  from: string,
  folder: string,
  { disk = machineDisk }: { readonly disk?: Disk } = {},
): Promise<void> {
  if ((await disk.size(join(from, 'datapackage.json'))) === null) {
    throw new VeligridError('bad-argument', `${from} holds no datapackage.json. Give the folder of an export.`);
  }
  await onDisk('The import was not made', async () => {
    await emptyFolder(disk, folder, 'store');
    await importPictures(disk, from, join(folder, PICTURES));
    // under another name until all is there: an import that was cut short is never taken for a store
    const unfinished = join(folder, `unfinished-${DATABASE}`);
    const { context, backend } = await openDatabase(unfinished, {}, true);
    try {
      await together(context, (working) => importTables(working, disk, from));
    } catch (error) {
      await backend.close();
      throw error;
    }
    await backend.closeWhole();
    await disk.syncFile(unfinished);
    await disk.rename(unfinished, join(folder, DATABASE));
    await disk.syncFolder(folder);
  });
}
