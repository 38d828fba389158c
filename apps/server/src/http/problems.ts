import type { ErrorRequestHandler, Response } from 'express';
import { MulterError } from 'multer';
import { ZodError } from 'zod';
import { VeligridError, type FaultCode } from '@veligrid/model';
import type { Problem, ProblemKind } from '@veligrid/api';
import { diskReason } from '@veligrid/storage';
import type { Given } from './given.js';
import { ProblemError, PROBLEMS } from './problem-error.js';

const OF_CODE: Readonly<Record<FaultCode, ProblemKind>> = {
  'bad-argument': 'bad-request',
  'unreadable-photo': 'unreadable-photo',
  'unwritable-result': 'server-fault',
  refused: 'refused',
  'changed-meanwhile': 'changed-since',
  'store-failed': 'server-fault',
};

const fieldName = (path: readonly PropertyKey[]): string => path.map(String).join('.') || 'the request';

function ofWrongFields(error: ZodError): ProblemError {
  const fields = error.issues.map(({ path, message }) => ({ field: fieldName(path), message }));
  const [first] = fields;
  return new ProblemError('bad-request', `${first?.field ?? 'the request'}: ${first?.message ?? ''}`, { fields });
}

function ofMulter({ code, field, message }: MulterError): ProblemError {
  if (code === 'LIMIT_FILE_SIZE') {
    return new ProblemError(
      'too-large',
      'A photo is larger than this server takes. Save it as JPEG and send it again.',
      { code: 'photo-too-large' },
    );
  }
  if (code === 'LIMIT_FILE_COUNT' || code === 'LIMIT_UNEXPECTED_FILE') {
    return new ProblemError('bad-request', `Too many files, or files under a name that is not known (${field ?? ''}).`);
  }
  return new ProblemError('bad-request', `The form can't be read: ${message}.`);
}

/** Faults of a request that body-parser and busboy throw as plain errors. */
function ofPlain(error: Error & { readonly status?: number; readonly type?: string }): ProblemError | null {
  if (error.type === 'entity.too.large') {
    return new ProblemError('too-large', 'That is more than this server takes at a time. Send it in parts.');
  }
  // what serves files says 403 for a path that leads out of its folder
  if (error.status === 404 || error.status === 403) {
    return new ProblemError('not-found', 'There is nothing at this address.');
  }
  if (error.status !== undefined && error.status >= 400 && error.status < 500) {
    return new ProblemError('bad-request', `The request can't be read: ${error.message}.`);
  }
  // who sent it has gone, so nobody reads this
  if (/^Request (aborted|closed)$/.test(error.message)) {
    return new ProblemError('bad-request', 'The upload was cut. Send it again.');
  }
  // busboy and its helper have no codes
  if (
    /^(Unexpected end of form|Malformed part header|Multipart: Boundary not found|Missing Content-Type)/.test(
      error.message,
    )
  ) {
    return new ProblemError('bad-request', `The form can't be read: ${error.message}. Send it again.`);
  }
  return null;
}

/** What an error means to the browser; null for a fault of ours. */
function told(error: unknown): ProblemError | null {
  if (error instanceof ProblemError) return error;
  if (error instanceof VeligridError) return new ProblemError(OF_CODE[error.code], error.message);
  if (error instanceof ZodError) return ofWrongFields(error);
  if (error instanceof MulterError) return ofMulter(error);
  const disk = diskReason(error);
  if (disk !== null) return new ProblemError('server-fault', `${disk}. What was sent was not kept.`);
  return error instanceof Error ? ofPlain(error) : null;
}

/** The problem as it is sent. */
function problemOf({ kind, message, extra }: ProblemError): Given<Problem> {
  const [status, title] = PROBLEMS[kind];
  return { type: `/problems/${kind}`, title, status, detail: message, kind, ...extra };
}

/** Sends a problem (RFC 9457). */
function sendProblem(res: Response, error: ProblemError): void {
  const problem = problemOf(error);
  if (problem.retryAfter !== undefined) res.set('Retry-After', String(Math.ceil(problem.retryAfter)));
  res.status(problem.status).type('application/problem+json').send(JSON.stringify(problem));
}

const OUR_FAULT =
  'This is a fault of Veligrid, not yours; nothing was stored. Try again, and look at what the server wrote.';

/**
 * The one place where errors become answers.
 *
 * @param log told of faults of ours
 * @param refused told of the kind of every problem
 */
export function problemHandler(
  log: (message: string) => void,
  refused: (kind: ProblemKind) => void,
): ErrorRequestHandler {
  return (error: unknown, req, res, next) => {
    const known = told(error);
    refused(known?.kind ?? 'server-fault');
    if (known === null || PROBLEMS[known.kind][0] >= 500) {
      log(`${req.method} ${req.path}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`);
    }
    // what has begun can't be turned into a problem: cut it, so that nobody takes it for whole
    if (res.headersSent) {
      next(error);
      return;
    }
    sendProblem(res, known ?? new ProblemError('server-fault', OUR_FAULT));
  };
}
