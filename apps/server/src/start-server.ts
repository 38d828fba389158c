import { readFile, rm } from 'node:fs/promises';
import { createServer as createPlain, type Server } from 'node:http';
import { createServer as createSecure } from 'node:https';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Express } from 'express';
import { collectDefaultMetrics } from 'prom-client';
import { createLineFinder, createPictureReader, startRunner } from '@veligrid/jobs';
import { VeligridError } from '@veligrid/model';
import { exportStore, openStore, type DatabasePlace, type Job, type Store } from '@veligrid/storage';
import { createApp } from './app.js';
import { makeDemo } from './demo/make-demo.js';
import type { House } from './house.js';
import { makeFirstManagerCode } from './people/first-manager-code.js';
import { createLockOut } from './people/lock-out.js';
import { USUAL_COST } from './people/passwords.js';
import { accountsExist } from './people/sign-ins.js';
import { getSlideReady } from './photos/get-ready.js';
import { isLoopback, serveRefusal } from './serve-refusal.js';
import { startUpkeep, type BackupPlan } from './upkeep/start-upkeep.js';
import { PROGRAM_VERSION } from './version.js';
import { logLine } from './watching/log-line.js';
import { createMeters } from './watching/meters.js';

/** How the server is started. */
export interface ServerOptions {
  /** Folder that everything is kept in, made when missing; or the database and the place of photos of many machines. */
  readonly place: string | DatabasePlace;
  /** 0 takes any that is free. */
  readonly port: number;
  readonly host: string;
  /** Fills an empty folder with the two demo counts. */
  readonly demo?: boolean;
  /** People must sign in, on this machine too. */
  readonly accounts?: boolean;
  readonly tls?: { readonly certFile: string; readonly keyFile: string };
  readonly trustProxy?: boolean;
  readonly plainHttp?: boolean;
  /** Photos counted at a time; 0 leaves all to workers elsewhere. Default: one less than the cores. */
  readonly threads?: number;
  /** Backups that it makes by itself. */
  readonly backups?: BackupPlan;
  /** Most room for tiles and thumbnails, bytes. Default 5 GB. */
  readonly cacheBytes?: number;
  /** Told of faults, one line of JSON each. */
  readonly log: (message: string) => void;
}

/** A server that runs. */
export interface RunningServer {
  /** Where it is opened in a browser. */
  readonly url: string;
  /** The code for the first manager; null when none is wanted. */
  readonly firstManagerCode: string | null;
  /** Ends answers that are on their way, then jobs, then the store; jobs go on at the next start. */
  readonly stop: () => Promise<void>;
}

/** Largest photo, bytes and pixels: a 120-megapixel TIFF of three colours in 16 bits would be more, and is refused. */
const UPLOAD_LIMITS = { bytes: 400_000_000, pixels: 120_000_000, stillMs: 60_000 };

/** How long the head of a request and the whole of it may take, milliseconds: photos come slowly over a weak network. */
const HEAD_MS = 20_000;
const REQUEST_MS = 3_600_000;

/**
 * How long a connection is kept for the next request, milliseconds: longer than proxies and browsers keep theirs (most of them
 * 60 s), so that none is closed just as the next request is on its way.
 */
const KEEP_MS = 75_000;

/** Tiles of some hundred photos. */
const CACHE_BYTES = 5_000_000_000;

/** Built viewer, beside this app. */
const WEB_FOLDER = fileURLToPath(new URL('../../web/dist', import.meta.url));

async function createListener(app: Express, { tls }: ServerOptions): Promise<Server> {
  const waits = { headersTimeout: HEAD_MS, requestTimeout: REQUEST_MS, keepAliveTimeout: KEEP_MS };
  if (tls === undefined) return createPlain(waits, app);
  const read = async (path: string): Promise<Buffer> => {
    try {
      return await readFile(path);
    } catch (error) {
      throw new VeligridError('bad-argument', `${path} can't be read. Name the certificate's files in PEM form.`, {
        cause: error,
      });
    }
  };
  return createSecure({ ...waits, cert: await read(tls.certFile), key: await read(tls.keyFile) }, app);
}

function listen(server: Server, { host, port }: ServerOptions): Promise<AddressInfo> {
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      const why =
        error.code === 'EADDRINUSE'
          ? `Port ${String(port)} is taken. Stop what uses it, or choose another with --port.`
          : `${host}:${String(port)} can't be listened at (${error.code ?? error.message}). Choose another --host or --port.`;
      reject(new VeligridError('bad-argument', why, { cause: error }));
    });
    server.listen(port, host, () => {
      resolve(server.address() as AddressInfo);
    });
  });
}

function urlOf({ host, tls }: ServerOptions, { port }: AddressInfo): string {
  const shown = host === '0.0.0.0' || host === '::' ? 'localhost' : host;
  return `${tls === undefined ? 'http' : 'https'}://${shown.includes(':') ? `[${shown}]` : shown}:${String(port)}/`;
}

/** Ends a server: no new connections, idle ones closed, event streams cut. */
function closeServer(server: Server): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => {
      resolve();
    });
    server.closeIdleConnections();
    // streams of events never end by themselves
    setTimeout(() => {
      server.closeAllConnections();
    }, 1000).unref();
  });
}

/** @throws VeligridError `bad-argument` when the server may not be reached that way */
async function checkReach(house: Pick<House, 'store'>, options: ServerOptions): Promise<boolean> {
  const { host, tls, trustProxy = false, plainHttp = false } = options;
  const accounts = await accountsExist(house);
  const refusal = serveRefusal({ host, accounts, tls: tls !== undefined, trustProxy, plainHttp });
  if (refusal !== null) throw new VeligridError('bad-argument', refusal);
  return accounts;
}

/** Where uploads are received: in the hatchery's folder, or in that of this machine. */
const uploadFolderOf = ({ place }: ServerOptions): string =>
  join(typeof place === 'string' ? place : place.folder, 'uploads');

type Workers = Pick<House, 'wakeWorkers' | 'findLines' | 'pictures'>;

function houseOf(store: Store, options: ServerOptions, accounts: boolean, workers: Workers): House {
  const now = (): Date => new Date();
  const accountsWanted = options.accounts ?? false;
  return {
    store,
    now,
    version: PROGRAM_VERSION,
    uploadFolder: uploadFolderOf(options),
    uploadLimits: UPLOAD_LIMITS,
    exportTo: (folder, asked) => exportStore(options.place, folder, asked),
    accountsWanted,
    secureCookies: options.tls !== undefined || (options.trustProxy ?? false),
    firstManagerCode: accountsWanted && !accounts ? makeFirstManagerCode() : null,
    // by a clock that nobody sets
    lockOut: createLockOut(() => new Date(performance.timeOrigin + performance.now())),
    passwordCost: USUAL_COST,
    backups: options.backups ?? null,
    ...workers,
    checkAnswers: false,
  };
}

/** Reads what the first page of a day asks for, once: thousands of rows, which are known from then on. */
async function readAhead({ samples, moves, rations }: Store): Promise<void> {
  await samples.standing();
  await moves.list();
  await rations.list();
}

/**
 * Starts the server: opens the store, goes on with the jobs that were under way, listens.
 *
 * @throws VeligridError `bad-argument` when it may not be reached that way or can't listen; `store-failed`
 */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const { place, host, trustProxy = false, threads } = options;
  const log = (message: string): void => {
    options.log(logLine(new Date(), message));
  };
  const store = await openStore(place);
  try {
    const accounts = await checkReach({ store }, options);
    // what a crash left half received
    await rm(uploadFolderOf(options), { recursive: true, force: true });
    const onFault = (error: unknown): void => {
      log(error instanceof Error ? error.message : String(error));
    };
    const meters = createMeters(store);
    collectDefaultMetrics({ register: meters.registry });
    let ready: House | null = null;
    const onChange = (job: Job): void => {
      meters.jobChanged(job);
      if (ready !== null) getSlideReady(ready, job).catch(onFault);
    };
    const runner =
      threads === 0
        ? null
        : await startRunner(store, { onFault, onChange, ...(threads === undefined ? {} : { threads }) });
    const lines = createLineFinder(UPLOAD_LIMITS.pixels);
    const pictures = createPictureReader();
    const house = houseOf(store, options, accounts, {
      wakeWorkers: () => {
        runner?.wake();
      },
      findLines: (path, target) => lines.find(path, target),
      pictures,
    });
    ready = house;
    if (options.demo === true) await makeDemo(house);
    const watched = { meters, workersAlive: () => runner?.alive() ?? true };
    const app = createApp(house, { localOnly: isLoopback(host), trustProxy, webFolder: WEB_FOLDER, log, watched });
    const server = await createListener(app, options);
    const address = await listen(server, options);
    const read = readAhead(store).catch(onFault);
    const { backups, cacheBytes = CACHE_BYTES } = options;
    const upkeep = startUpkeep(store, { ...(backups && { backups }), cacheBytes, onFault, now: house.now });
    return {
      url: urlOf(options, address),
      firstManagerCode: house.firstManagerCode?.text ?? null,
      stop: async () => {
        await closeServer(server);
        pictures.stop();
        lines.stop();
        await Promise.all([runner?.stop(), upkeep.stop(), read]);
        await store.close();
      },
    };
  } catch (error) {
    await store.close();
    throw error;
  }
}
