import type { Command } from 'commander';
import { exportStore, importStore, openStore, restoreStore } from '@veligrid/storage';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';

const BACKUP_HELP = `
Example:
  veligrid backup /media/disk/2026-06-03 --data hatchery
      the viewer may stay open; a new folder each time, on another disk`;

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

async function backup(to: string, { data }: DataOption, console: Console): Promise<number> {
  const store = await openStore(data, { create: false });
  try {
    await store.backup(to);
  } finally {
    await store.close();
  }
  console.out(`Backup of ${data}: ${to}\n`);
  return EXIT.done;
}

/** Looks through a store and tells what is wrong. */
async function check({ data }: DataOption, console: Console): Promise<number> {
  const store = await openStore(data, { create: false });
  try {
    const flaws = await store.check();
    for (const { code, message } of flaws.slice(0, MOST_TOLD)) console.out(`${code}: ${message}\n`);
    if (flaws.length > MOST_TOLD) console.out(`and ${flaws.length - MOST_TOLD} more\n`);
    if (flaws.length === 0) console.out(`${data}: all is well\n`);
    return flaws.length === 0 ? EXIT.done : EXIT.refused;
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
export function addStoreCommands(program: Command, console: Console, done: (code: number) => void): void {
  const command = (name: string, description: string, data: string): Command =>
    program.command(name).description(description).requiredOption('--data <folder>', data);
  command(
    'backup',
    'copy everything that is kept into a new folder, also while the viewer is open',
    'folder of your hatchery',
  )
    .argument('<folder>', 'new folder for the backup')
    .addHelpText('after', BACKUP_HELP)
    .action(async (to: string, options: DataOption) => {
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
    done(await check(options, console));
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
