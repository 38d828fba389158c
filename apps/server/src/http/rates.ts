import rateLimit from 'express-rate-limit';
import type { RequestHandler } from 'express';
import { ProblemError } from './problem-error.js';

const MINUTE = 60_000;

/** One address may send so many a minute; more are answered 429 with the seconds to wait. */
function limited(perMinute: number, skip: (method: string) => boolean): RequestHandler {
  return rateLimit({
    windowMs: MINUTE,
    limit: perMinute,
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
