import type { Command } from 'commander';
import { moveStore, readDatabaseFile } from '@veligrid/storage';
import type { Adding } from '../adding.js';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';

interface MoveArguments {
  /** Folder of the hatchery. */
  readonly data: string;
  /** File that tells the database and the place of photos. */
  readonly to: string;
}

const HELP = `
Example:
  veligrid move --data hatchery --to veligrid.json
      end the server first. Photos are copied and compared, then all records at one stroke. When it was cut short, type
      it again: what arrived is not sent twice. The folder stays as it is; from then on: veligrid serve --database-file`;

/** Told after so many photos. */
const EACH = 100;

async function move({ data, to }: MoveArguments, console: Console): Promise<number> {
  const onPhoto = (done: number, all: number): void => {
    if (done % EACH === 0 || done === all) console.err(`photos: ${String(done)} of ${String(all)}\n`);
  };
  const { rows, photos, photosThere, before } = await moveStore(data, await readDatabaseFile(to), { onPhoto });
  const counts = `${String(rows)} records and ${String(photos)} photos`;
  if (before) console.out(`${counts} were there already, and are the same.\n`);
  else
    console.out(
      `${counts} arrived as they were sent${photosThere > 0 ? `, ${String(photosThere)} of the photos before` : ''}.\n`,
    );
  console.out(
    `From now on: veligrid serve --database-file ${to}. Nothing more may be entered in ${data}; keep it as a backup.\n`,
  );
  return EXIT.done;
}

/** Adds `veligrid move`. */
export function addMove(program: Command, { console, done }: Adding): void {
  program
    .command('move')
    .description('copy a hatchery from its folder into a database that many machines use, and compare')
    .requiredOption('--data <folder>', 'folder of your hatchery; nobody may use it meanwhile')
    .requiredOption('--to <file>', 'file that tells the database and the place of photos')
    .addHelpText('after', HELP)
    .action(async (options: MoveArguments) => {
      done(await move(options, console));
    });
}
