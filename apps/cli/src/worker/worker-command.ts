import type { Command } from 'commander';
import { startRunner } from '@veligrid/jobs';
import { VeligridError } from '@veligrid/model';
import { logLine, startUpkeep } from '@veligrid/server';
import { openStore, placeFromEnvironment, readDatabaseFile } from '@veligrid/storage';
import type { Adding } from '../adding.js';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { stopAsked } from '../serve/stop-asked.js';
import { wholeAboveZero } from '../whole-number.js';

/** Arguments of `veligrid worker`. */
interface WorkerArguments {
  readonly databaseFile?: string;
  readonly threads?: number;
  /** Gigabytes. */
  readonly cache: number;
}

const HELP = `
Start as many as you like, on as many machines: each photo is counted by one of them. What a worker had when it was
killed goes to another one after a minute. docs/many-machines.md tells how to have it started by the system.`;

/**
 * Counts the photos that wait in a database until it is told to stop.
 *
 * @returns exit code 0
 */
async function workerCommand({ databaseFile, threads, cache }: WorkerArguments, console: Console): Promise<number> {
  const place = databaseFile === undefined ? placeFromEnvironment() : await readDatabaseFile(databaseFile);
  if (place === null)
    throw new VeligridError('bad-argument', 'Give --database-file, or set VELIGRID_DATABASE: which photos to count.');
  const onFault = (error: unknown): void => {
    console.err(`${logLine(new Date(), error instanceof Error ? error.message : String(error))}\n`);
  };
  const store = await openStore(place);
  try {
    const runner = await startRunner(store, { onFault, ...(threads === undefined ? {} : { threads }) });
    const upkeep = startUpkeep(store, { cacheBytes: cache * 1e9, onFault, now: () => new Date() });
    console.out('Counting the photos that wait. Stop with Ctrl+C; what is being counted goes back to the others.\n');
    await stopAsked();
    await Promise.all([runner.stop(), upkeep.stop()]);
  } finally {
    await store.close();
  }
  return EXIT.done;
}

/** Adds `veligrid worker`. */
export function addWorker(program: Command, { console, done }: Adding): void {
  program
    .command('worker')
    .description('count the photos that wait in a database shared by several machines')
    .option('--database-file <file>', 'file that tells the database and the place of photos')
    .option('--threads <n>', 'photos counted at a time (default: one less than the processor cores)', wholeAboveZero)
    .option('--cache <gb>', 'most room for photos fetched from a bucket, in gigabytes', wholeAboveZero, 5)
    .addHelpText('after', HELP)
    .action(async (options: WorkerArguments) => {
      done(await workerCommand(options, console));
    });
}
