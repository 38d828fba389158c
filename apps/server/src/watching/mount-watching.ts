import type { Express, Request, RequestHandler, Response } from 'express';
import type { House } from '../house.js';
import { ProblemError } from '../http/problem-error.js';
import { identify } from '../people/sign-ins.js';
import { isLoopback } from '../serve-refusal.js';
import { freeSpace } from './free-space.js';
import type { Meters } from './meters.js';

/** Least room on the disk for the server to be ready, bytes: one photo of the largest kind with its picture squares. */
const LEAST_FREE = 1_000_000_000;

/** What a look at the server needs. */
export interface Watched {
  readonly meters: Meters;
  /** Whether the queue is looked after. */
  readonly workersAlive: () => boolean;
  /** Room on the disk, bytes; tests give their own. */
  readonly free?: (folder: string) => Promise<number>;
}

const LOCAL_V6 = /^::ffff:(?=127\.)/;

/** Meters are for managers, and for programs on this machine. */
async function checkMayRead(house: House, req: Request, res: Response): Promise<void> {
  // behind a proxy this is who asked it
  if (isLoopback((req.ip ?? '').replace(LOCAL_V6, ''))) return;
  if ((await identify(house, req, res)).role === 'manager') return;
  throw new ProblemError(
    'not-allowed',
    'Meters are for managers, and for programs on the same machine. Sign in as one.',
  );
}

function readiness(house: House, { workersAlive, free = freeSpace }: Watched): RequestHandler {
  const holds = (check: Promise<boolean>): Promise<boolean> => check.catch(() => false);
  return async (_req, res) => {
    const { cacheFolder, photoFolder } = house.store;
    const folders = photoFolder === null ? [cacheFolder] : [cacheFolder, photoFolder];
    const [store, disk] = await Promise.all([
      holds(house.store.ping()),
      holds(Promise.all(folders.map(free)).then((bytes) => Math.min(...bytes) >= LEAST_FREE)),
    ]);
    const workers = workersAlive();
    const ready = store && disk && workers;
    res.status(ready ? 200 : 503).json({ ready, store, disk, workers });
  };
}

/** Adds the addresses by which another program watches this one: whether it lives, whether it can work, how it does. */
export function mountWatching(app: Express, house: House, watched: Watched): void {
  const { meters } = watched;
  app.use(['/healthz', '/readyz', '/metrics'], (_req, res, next) => {
    res.set('Cache-Control', 'no-store');
    next();
  });
  app.get('/healthz', (_req, res) => {
    res.json({ alive: true });
  });
  app.get('/readyz', readiness(house, watched));
  app.get('/metrics', async (req, res) => {
    await checkMayRead(house, req, res);
    const { type, text } = await meters.text();
    res.set('Content-Type', type).send(text);
  });
}
