import rateLimit, { type Store } from 'express-rate-limit';
import type { RequestHandler } from 'express';
import { ProblemError } from './problem-error.js';

const MINUTE = 60_000;

/** Requests of one address since a moment of the clock that nobody sets, ms. */
interface Window {
  readonly began: number;
  hits: number;
}

/**
 * Counts requests by a clock that only runs forward: by the usual one, whoever is at work when it is set back by three
 * hours would have to share one minute's allowance for three hours.
 */
function steadyWindows(now: () => number = () => performance.now()): Store {
  const windows = new Map<string, Window>();
  const forget = (): void => {
    for (const [key, { began }] of windows) {
      // in the order they began
      if (now() - began < MINUTE) return;
      windows.delete(key);
    }
  };
  return {
    increment(key) {
      forget();
      const window = windows.get(key) ?? { began: now(), hits: 0 };
      window.hits += 1;
      windows.set(key, window);
      return { totalHits: window.hits, resetTime: new Date(Date.now() + MINUTE - (now() - window.began)) };
    },
    decrement(key) {
      const window = windows.get(key);
      if (window !== undefined) window.hits -= 1;
    },
    resetKey: (key) => void windows.delete(key),
    localKeys: true,
  };
}

/** One address may send so many a minute; more are answered 429 with the seconds to wait. */
function limited(perMinute: number, skip: (method: string) => boolean): RequestHandler {
  return rateLimit({
    windowMs: MINUTE,
    limit: perMinute,
    store: steadyWindows(),
    standardHeaders: 'draft-8',
    legacyHeaders: false,
    skip: (req) => skip(req.method),
    handler: (_req, _res, next) => {
      next(
        new ProblemError('too-many-tries', 'Too many requests in a minute. Wait a minute.', {
          retryAfter: 60,
          code: 'too-many',
          data: { seconds: 60 },
        }),
      );
    },
  });
}

/** Changes: one every tenth of a second is more than fast fingers do. */
export const changesLimited = (perMinute = 600): RequestHandler => limited(perMinute, (method) => method === 'GET');

/** Signing in and everything else that takes a secret. */
export const secretsLimited = (perMinute = 20): RequestHandler =>
  limited(perMinute, (method) => method === 'GET' || method === 'DELETE');
