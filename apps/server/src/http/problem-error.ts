import type { Problem, ProblemKind } from '@veligrid/api';
import type { Given } from './given.js';

/** Status and title of each kind of problem. */
export const PROBLEMS: Readonly<Record<ProblemKind, readonly [status: number, title: string]>> = {
  'bad-request': [400, 'The request is not as it should be'],
  'not-signed-in': [401, 'Not signed in'],
  'not-allowed': [403, 'Not allowed'],
  'cross-site': [403, 'Sent from another site'],
  'not-found': [404, 'Not there'],
  conflict: [409, 'Somebody decided otherwise'],
  'changed-since': [412, 'Changed since'],
  refused: [409, 'Refused'],
  'not-signed-off': [409, 'Not signed off'],
  'too-large': [413, 'Too large'],
  'unreadable-photo': [422, 'No photo that can be read'],
  'too-many-tries': [429, 'Too many tries'],
  'needs-if-match': [428, 'Say which version is changed'],
  'server-fault': [500, 'A fault of the server'],
};

type Extra = Given<Partial<Omit<Problem, 'type' | 'title' | 'status' | 'detail' | 'kind'>>>;

/** A problem to be told to the browser. */
export class ProblemError extends Error {
  override readonly name = 'ProblemError';
  readonly kind: ProblemKind;
  readonly extra: Extra;

  /**
   * @param kind which sets the status
   * @param detail one sentence that says what to do
   * @param extra further fields of the problem
   */
  constructor(kind: ProblemKind, detail: string, extra: Extra = {}) {
    super(detail);
    this.kind = kind;
    this.extra = extra;
  }
}

/** The problem of something that is not there. */
export const notThere = (what: string): ProblemError =>
  new ProblemError('not-found', `There is no such ${what}. Go back and choose one that is there.`, {
    code: 'not-there',
  });
