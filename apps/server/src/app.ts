import express, { type Express } from 'express';
import { BASE } from '@veligrid/api';
import { handlers } from './handlers.js';
import type { House } from './house.js';
import { mountRoutes } from './http/mount-routes.js';
import { servePages } from './http/pages.js';
import { problemHandler } from './http/problems.js';
import { ProblemError } from './http/problem-error.js';
import { compressed, protection } from './http/protection.js';
import { changesLimited, secretsLimited } from './http/rates.js';
import { localNamesOnly, sameSiteOnly } from './http/same-site.js';
import { identify } from './people/sign-ins.js';
import { createMeters } from './watching/meters.js';
import { mountWatching, type Watched } from './watching/mount-watching.js';

/** How the server is reached. */
export interface AppOptions {
  /** Only this machine talks to it, so it answers to its local names only. */
  readonly localOnly: boolean;
  /** A proxy before it says who asks and how. */
  readonly trustProxy: boolean;
  /** Folder of the built viewer. */
  readonly webFolder: string;
  /** Told of faults of ours. */
  readonly log: (message: string) => void;
  /** Changes and secrets that one address may send in a minute. */
  readonly rates?: { readonly changes: number; readonly secrets: number };
  /** How other programs see whether it is well. Default: without workers. */
  readonly watched?: Watched;
}

const SECRETS = ['/session', '/session/password', '/first-manager'].map((path) => BASE + path);

/** The server as a function of what it keeps: everything between a request and its answer. */
export function createApp(house: House, options: AppOptions): Express {
  const { localOnly, trustProxy, webFolder, log, rates } = options;
  const { watched = { meters: createMeters(house.store), workersAlive: () => true } } = options;
  const app = express();
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  if (trustProxy) app.set('trust proxy', 1);
  app.use(protection(house.secureCookies));
  if (localOnly) app.use(localNamesOnly);
  app.use(compressed());
  mountWatching(app, house, watched);
  app.use(sameSiteOnly);
  app.post(SECRETS, secretsLimited(rates?.secrets));
  app.put(SECRETS, secretsLimited(rates?.secrets));
  app.use(BASE, changesLimited(rates?.changes));
  servePages(app, webFolder);
  app.use(BASE, async (req, res, next) => {
    res.locals['person'] = await identify(house, req, res);
    next();
  });
  mountRoutes(app, house, { handlers, answered: watched.meters.answered });
  app.use(() => {
    throw new ProblemError('not-found', 'There is nothing at this address.');
  });
  app.use(problemHandler(log, watched.meters.refused));
  return app;
}
