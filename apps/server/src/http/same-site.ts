import type { RequestHandler } from 'express';
import { bearerOf } from '../people/tokens.js';
import { ProblemError } from './problem-error.js';

const SAFE = ['GET', 'HEAD', 'OPTIONS'];

/** Whether an Origin header names the host that the request was sent to. */
function sameHost(origin: string, host: string | undefined): boolean {
  try {
    return new URL(origin).host === host;
  } catch {
    return false;
  }
}

/**
 * Refuses changes that another site's page sends with our cookie: Fetch Metadata first, Origin where a browser sends
 * none (OWASP Cross-Site Request Forgery Prevention Cheat Sheet, "Fetch Metadata headers" with the fallback to Origin).
 * A program's secret in a header is nothing that another site's page can send, and no cookie counts beside it.
 */
export const sameSiteOnly: RequestHandler = (req, _res, next) => {
  if (SAFE.includes(req.method) || bearerOf(req) !== null) {
    next();
    return;
  }
  const site = req.get('Sec-Fetch-Site');
  const origin = req.get('Origin');
  const own =
    site === undefined
      ? origin !== undefined && sameHost(origin, req.get('Host'))
      : ['same-origin', 'none'].includes(site);
  if (own) next();
  else
    next(
      new ProblemError(
        'cross-site',
        'Changes are taken from pages of this server only. Programs send the header Sec-Fetch-Site: none.',
      ),
    );
};

const LOCAL = /^(localhost|127\.0\.0\.1|\[::1\])(:\d+)?$/;

/**
 * On a machine that only talks to itself: refuses requests that call it by another name, as pages do whose site's name
 * was pointed at this machine (DNS rebinding).
 */
export const localNamesOnly: RequestHandler = (req, _res, next) => {
  if (LOCAL.test(req.get('Host') ?? '')) next();
  else
    next(new ProblemError('cross-site', 'This server is for its own machine only. Open it as 127.0.0.1 or localhost.'));
};
