import { createHash } from 'node:crypto';
import type { Request, Response } from 'express';
import { ProblemError } from './problem-error.js';

const quoted = (version: string | number): string => `"${String(version)}"`;

/**
 * Marks the answer with its version.
 *
 * @returns whether the browser has this version already and was told so; nothing more is to be sent then
 */
export function sendVersion(req: Request, res: Response, version: string | number): boolean {
  res.set('ETag', quoted(version));
  const known = (req.get('If-None-Match') ?? '').split(',').map((one) => one.trim());
  if (!known.includes(quoted(version)) && !known.includes(`W/${quoted(version)}`)) return false;
  res.status(304).end();
  return true;
}

/** Marks an answer that shows more than what has this revision: a part for the revision, and one for all that is shown. */
export function setRevision(res: Response, revision: number, shown: unknown): void {
  const digest = createHash('sha256').update(JSON.stringify(shown)).digest('base64url').slice(0, 16);
  res.set('ETag', quoted(`${String(revision)}.${digest}`));
}

/**
 * The revision that a change was made to.
 *
 * @throws ProblemError `needs-if-match` without one
 */
export function changedVersion(req: Request): number {
  const version = Number(/^(?:W\/)?"(\d+)(?:\.[\w-]+)?"$/.exec(req.get('If-Match') ?? '')?.[1]);
  if (Number.isInteger(version)) return version;
  throw new ProblemError(
    'needs-if-match',
    'Send the ETag of what you changed as If-Match, so that nobody is overwritten.',
  );
}
