import { statSync } from 'node:fs';
import { InvalidArgumentError, type Command } from 'commander';
import {
  exportStore,
  importStore,
  openStore,
  rehearseRestore,
  restoreStore,
  rotateBackups,
  storageUse,
  type Flaw,
} from '@veligrid/storage';
import type { Adding } from '../adding.js';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';

const BACKUP_HELP = `
Example:
  veligrid backup /media/disk/2026-06-03 --data hatchery
      the viewer may stay open; a new folder each time, on another disk
  veligrid backup /media/disk --keep 14 --data hatchery
      in a folder named by the time; the last 14 stay`;

const EXPORT_HELP = `
The export holds a table (CSV) for everything kept, described by datapackage.json, the pictures, and for-people.xlsx for
a spreadsheet. Any program may read it; veligrid import makes the same store from it.`;

/** Most flaws told one by one. */
const MOST_TOLD = 20;

/** Options that all have. */
interface DataOption {
  /** Folder of the store. */
  readonly data: string;
}

interface BackupOptions extends DataOption {
  /** Backups kept in the folder, each in one of its own; undefined: the folder is the backup. */
  readonly keep?: number;
}

async function backup(to: string, { data, keep }: BackupOptions, console: Console): Promise<number> {
  const store = await openStore(data, { create: false });
  let made = to;
  try {
    if (keep === undefined) await store.backup(to);
    else made = await rotateBackups(store, { folder: to, keep, now: new Date() });
  } finally {
    await store.close();
  }
  console.out(`Backup of ${data}: ${made}\n`);
  return EXIT.done;
}

function keepNumber(text: string): number {
  if (/^[1-9]\d{0,3}$/.test(text)) return Number(text);
  throw new InvalidArgumentError('Give a whole number of 1 or more.');
}

const inMb = (bytes: number): string => `${(bytes / 1e6).toLocaleString('en', { maximumFractionDigits: 1 })} MB`;

async function tellUse(data: string, console: Console): Promise<void> {
  // of a database the machine that it is on can tell
  if (!statSync(data).isDirectory()) return;
  const { database, pictures, cache, free } = await storageUse(data);
  console.out(
    `Room: database ${inMb(database)}, photos ${inMb(pictures)}, cache ${inMb(cache)}; free on this disk ${inMb(free)}\n`,
  );
}

/** Tells flaws, or that there are none. */
function tellFlaws(what: string, flaws: readonly Flaw[], console: Console): number {
  for (const { code, message } of flaws.slice(0, MOST_TOLD)) console.out(`${code}: ${message}\n`);
  if (flaws.length > MOST_TOLD) console.out(`and ${flaws.length - MOST_TOLD} more\n`);
  if (flaws.length === 0) console.out(`${what}: all is well\n`);
  return flaws.length === 0 ? EXIT.done : EXIT.refused;
}

async function rehearse(from: string, { within }: { readonly within?: string }, console: Console): Promise<number> {
  const { flaws, samples } = await rehearseRestore(from, within);
  console.out(`${from} was restored, looked through and removed again; samples in it: ${samples}\n`);
  return tellFlaws(from, flaws, console);
}

/** Looks through a store and tells what is wrong. */
async function check({ data }: DataOption, console: Console): Promise<number> {
  const store = await openStore(data, { create: false });
  try {
    return tellFlaws(data, await store.check(), console);
  } finally {
    await store.close();
  }
}

async function restore(from: string, { data }: DataOption, console: Console): Promise<number> {
  await restoreStore(from, data);
  console.out(`${from} is restored to ${data}\n`);
  return check({ data }, console);
}

async function exportTo(
  to: string,
  options: DataOption & { readonly withPasswords?: boolean },
  console: Console,
): Promise<number> {
  await exportStore(options.data, to, { withPasswords: options.withPasswords === true });
  console.out(`Export of ${options.data}: ${to}\n`);
  return EXIT.done;
}

async function importFrom(from: string, { data }: DataOption, console: Console): Promise<number> {
  await importStore(from, data);
  console.out(`${from} is imported to ${data}\n`);
  return check({ data }, console);
}

/** Adds `backup`, `restore`, `check`, `export` and `import`. */
export function addStoreCommands(program: Command, { console, done }: Adding): void {
  const command = (name: string, description: string, data: string): Command =>
    program.command(name).description(description).requiredOption('--data <folder>', data);
  command(
    'backup',
    'copy everything that is kept into a new folder, also while the viewer is open',
    'folder of your hatchery',
  )
    .argument('<folder>', 'new folder for the backup')
    .option('--keep <n>', 'makes the backup in a folder of its own below that one, and keeps the last n', keepNumber)
    .addHelpText('after', BACKUP_HELP)
    .action(async (to: string, options: BackupOptions) => {
      done(await backup(to, options, console));
    });
  command('restore', 'make a hatchery folder from a backup, and check it', 'new folder for your hatchery')
    .argument('<folder>', 'folder of the backup')
    .action(async (from: string, options: DataOption) => {
      done(await restore(from, options, console));
    });
  command(
    'check',
    'look through everything that is kept; exit code 4 when something is wrong',
    'folder of your hatchery',
  ).action(async (options: DataOption) => {
    const code = await check(options, console);
    await tellUse(options.data, console);
    done(code);
  });
  program
    .command('rehearse')
    .description(
      'restore a backup into a folder of its own, check it and remove it again; exit code 4 when it is damaged',
    )
    .argument('<folder>', 'folder of the backup')
    .option('--within <folder>', 'where there is room for it (default: the folder for temporary files)')
    .action(async (from: string, options: { readonly within?: string }) => {
      done(await rehearse(from, options, console));
    });
  command('export', 'write everything that is kept as tables that any program reads', 'folder of your hatchery')
    .argument('<folder>', 'new folder for the export')
    .option('--with-passwords', 'also the hashes of passwords and who is signed in: only to move the hatchery')
    .addHelpText('after', EXPORT_HELP)
    .action(async (to: string, options: DataOption & { readonly withPasswords?: boolean }) => {
      done(await exportTo(to, options, console));
    });
  command('import', 'make a hatchery folder from an export, and check it', 'new folder for your hatchery')
    .argument('<folder>', 'folder of the export')
    .action(async (from: string, options: DataOption) => {
      done(await importFrom(from, options, console));
    });
}
