import { resolve } from 'node:path';
import { VeligridError } from '@veligrid/model';
import { PLAIN_HTTP_WARNING, startServer, type RunningServer, type ServerOptions } from '@veligrid/server';
import { placeFromEnvironment, readDatabaseFile } from '@veligrid/storage';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { openBrowser } from './open-browser.js';
import { stopAsked } from './stop-asked.js';

/** Arguments of `veligrid serve`. */
export interface ServeArguments {
  readonly port: number;
  readonly host: string;
  /** Folder of the own hatchery. Default: the demo, in a folder of its own. */
  readonly data?: string;
  /** File that tells the database and the place of photos of many machines. */
  readonly databaseFile?: string;
  readonly open?: boolean;
  readonly accounts?: boolean;
  readonly tlsCert?: string;
  readonly tlsKey?: string;
  readonly trustProxy?: boolean;
  readonly plainHttp?: boolean;
  readonly threads?: number;
  readonly backupTo?: string;
  /** Hours. */
  readonly backupEvery: number;
  readonly keep: number;
  /** Gigabytes. */
  readonly cache: number;
}

/** Folder of the demo, below the folder that the command is started in. */
const DEMO_FOLDER = 'veligrid-demo';

function tlsOf({ tlsCert, tlsKey }: ServeArguments): Pick<ServerOptions, 'tls'> {
  if (tlsCert === undefined && tlsKey === undefined) return {};
  if (tlsCert === undefined || tlsKey === undefined) {
    throw new VeligridError('bad-argument', 'Give both --tls-cert and --tls-key, as files in PEM form.');
  }
  return { tls: { certFile: tlsCert, keyFile: tlsKey } };
}

function backupsOf({ backupTo, backupEvery, keep }: ServeArguments): Pick<ServerOptions, 'backups'> {
  return backupTo === undefined ? {} : { backups: { folder: resolve(backupTo), everyHours: backupEvery, keep } };
}

/** The own hatchery: by its file, its folder or the environment; null for the demo. */
async function placeOf({ data, databaseFile }: ServeArguments): Promise<ServerOptions['place'] | null> {
  if (data !== undefined && databaseFile !== undefined)
    throw new VeligridError('bad-argument', 'Give --data or --database-file, not both.');
  if (databaseFile !== undefined) return readDatabaseFile(databaseFile);
  return data === undefined ? placeFromEnvironment() : resolve(data);
}

function optionsOf(args: ServeArguments, own: ServerOptions['place'] | null, console: Console): ServerOptions {
  const { port, host, accounts = false, trustProxy = false, plainHttp = false, threads } = args;
  return {
    place: own ?? resolve(DEMO_FOLDER),
    demo: own === null,
    port,
    host,
    accounts,
    trustProxy,
    plainHttp,
    ...tlsOf(args),
    ...backupsOf(args),
    cacheBytes: args.cache * 1e9,
    ...(threads === undefined ? {} : { threads }),
    log: (message) => {
      console.err(`${message}\n`);
    },
  };
}

function greet({ url, firstManagerCode }: RunningServer, { plainHttp, demo }: ServerOptions, console: Console): void {
  console.out(`Veligrid is at ${url}\n`);
  if (demo === true) {
    console.out('It shows two demo counts. Your own hatchery: veligrid serve --data FOLDER\n');
  }
  if (firstManagerCode !== null) {
    console.out(`Make the first manager there with this code, which works once: ${firstManagerCode}\n`);
  }
  if (plainHttp === true) console.err(`${PLAIN_HTTP_WARNING}\n`);
  console.out('Stop with Ctrl+C; nothing is lost.\n');
}

/**
 * Serves the viewer until it is told to stop.
 *
 * @returns exit code 0
 * @throws VeligridError `bad-argument` when it may not be reached that way or can't listen
 */
export async function serveCommand(args: ServeArguments, console: Console): Promise<number> {
  const options = optionsOf(args, await placeOf(args), console);
  if (options.threads === 0 && typeof options.place === 'string')
    throw new VeligridError('bad-argument', 'With --threads 0 nobody would count: workers need a --database-file.');
  const server = await startServer(options);
  greet(server, options, console);
  if (args.open === true) openBrowser(server.url);
  await stopAsked();
  await server.stop();
  return EXIT.done;
}
