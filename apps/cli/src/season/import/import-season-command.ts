import { mkdtemp, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Command } from 'commander';
import type { Adding } from '../../adding.js';
import { openStore } from '@veligrid/storage';
import { EXIT } from '../../exit-codes.js';
import { readText } from '../sample/read-text.js';
import type { Kind } from '@veligrid/season';
import { checkBy, type DeskOptions } from '../open-desk.js';
import { withBy } from '../record-command.js';
import { importSeason, type Imported } from './import-season.js';
import { parseMapping } from './mapping.js';
import { seasonRows, type SeasonRow } from './season-rows.js';

interface ImportSeasonOptions extends DeskOptions {
  readonly by: string;
  readonly dryRun?: boolean;
}

/** Reads a mapping and the files that it names, which lie beside it. */
export async function readSeason(
  mapping: string,
  kinds?: readonly Kind[],
): Promise<{ readonly rows: SeasonRow[]; readonly unread: string[] }> {
  const rows: SeasonRow[] = [];
  const unread: string[] = [];
  for (const of of parseMapping(await readText(mapping), kinds)) {
    const read = seasonRows(of, await readText(join(dirname(mapping), of.file)));
    rows.push(...read.rows);
    unread.push(...read.unread.map((heading) => `${of.file}: ${heading}`));
  }
  return { rows, unread };
}

const isThere = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  );

/** A trial must not make a store where there is none: it is made elsewhere and thrown away. */
async function withFolder<T>({ data, dryRun }: ImportSeasonOptions, work: (folder: string) => Promise<T>): Promise<T> {
  if (dryRun !== true || (await isThere(data))) return work(data);
  const folder = await mkdtemp(join(tmpdir(), 'veligrid-trial-'));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

function text({ kept, refused }: Imported, unread: readonly string[], dryRun: boolean): string {
  const refusals = refused.map(({ file, line, why }) => `${file}, line ${line}: ${why}\n`);
  const nothing = dryRun || refused.length > 0;
  const counts = Object.entries(kept).map(
    ([file, rows]) => `${file}: ${rows} rows ${nothing ? 'could be kept' : 'kept'}\n`,
  );
  const columns = unread.length === 0 ? [] : [`Columns that nothing is read from: ${unread.join('; ')}\n`];
  const end =
    refused.length > 0
      ? `${refused.length} rows are refused, so nothing was kept.\n`
      : dryRun
        ? 'A dry run: nothing was kept.\n'
        : '';
  return [...refusals, ...counts, ...columns, end].join('');
}

const HELP = `
MAPPING is a JSON file beside the CSV files:
  {"formats": {"date": "DD.MM.YYYY HH:mm", "zone": "-04:00", "decimal": ",", "separator": ";"},
   "files": [{"file": "tanks.csv", "holds": "tank", "columns": {"tank": "Tank no.", "volume_l": "Litres"}}]}
Dates are ISO 8601 unless a pattern is given. Names stay text: a tank called 1-15 is no date. All rows are kept, or none.

veligrid import is something else: it makes a whole hatchery folder from an export of Veligrid. This command adds a season
kept elsewhere to a folder that may hold others already.`;

/** Adds `import-season`. */
export function addImportSeason(program: Command, { console, done }: Adding): void {
  withBy(program.command('import-season').description('bring in a season that was kept in plain CSV files'))
    .argument('<mapping>', 'JSON file that says which files hold what')
    .option('--dry-run', 'list every row that would be refused and why; keeps nothing')
    .addHelpText('after', HELP)
    .action(async (mapping: string, options: ImportSeasonOptions) => {
      const dryRun = options.dryRun === true;
      const { rows, unread } = await readSeason(mapping);
      const imported = await withFolder(options, async (folder) => {
        const store = await openStore(folder);
        try {
          await checkBy(store, options.by);
          return await importSeason(store, rows, { by: options.by, dryRun });
        } finally {
          await store.close();
        }
      });
      console.out(
        options.json === true
          ? `${JSON.stringify({ ...imported, unread, dryRun }, null, 2)}\n`
          : text(imported, unread, dryRun),
      );
      done(imported.refused.length > 0 ? EXIT.wrongInput : EXIT.done);
    });
}
