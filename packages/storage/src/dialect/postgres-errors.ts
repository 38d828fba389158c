import { badArgument, VeligridError } from '@veligrid/model';
import { isSilence } from './postgres-silence.js';

/** What the database says of an error, as far as it is used here (PostgreSQL 15, appendix A: five characters of a code). */
interface Told {
  readonly code?: string;
  readonly message: string;
  readonly constraint?: string;
  readonly detail?: string;
}

/** By code, then by the two characters of its class. */
const REASONS: Readonly<Record<string, string>> = {
  '25006': 'The database can only be read: it is a copy, or was told so. Name the one that may be written',
  '28P01': 'The database knows no such name and password: look at the address of the database',
  '3D000': 'There is no database of this name: make it first, with createdb',
  '42501': 'The database account lacks the right to do this: make it the owner of the database',
  '25P03': 'The database ended a transaction that stood still for too long: try again',
  '53100': 'The disk of the database is full: make room there, then try again',
  '53300': 'The database has no connection left: allow more of them, or end programs that use it',
  '55P03': 'Another program keeps the store busy: try again, or end that program',
  '57014': 'The database took too long: try again',
  '57P03': 'The database is starting or ending: try again in a moment',
  '58030': 'The disk of the database failed: look at it',
  '08': 'The connection to the database broke: try again',
  '28': 'The database let nobody in by this name: look at its pg_hba.conf and at the address of the database',
  '57': 'The database was ended: try again when it runs',
  XX: 'The database is damaged: restore a backup',
};

const UNREACHABLE: readonly string[] = [
  'ECONNREFUSED',
  'ENOENT',
  'ENOTFOUND',
  'EAI_AGAIN',
  'EHOSTUNREACH',
  'ETIMEDOUT',
];

/** What the driver says when it was asked for a password and has none. */
const NO_PASSWORD = /client password must be a/;

/** What the driver says of a connection that is no more. */
const BROKEN =
  /^(Connection terminated|Query read timeout|timeout|Client (has encountered a connection error|was closed))/;

function reasonOf(code: string, message: string): string {
  if (UNREACHABLE.includes(code)) return 'The database can not be reached: start it, or look at its address';
  if (NO_PASSWORD.test(message))
    return 'The database wants a password: give it in PGPASSWORD, in ~/.pgpass or in the address';
  if (isSilence(message)) return 'The database does not answer: look at it and at the network, then try again';
  if (code === 'ECONNRESET' || code === 'EPIPE' || BROKEN.test(message))
    return 'The connection to the database broke: try again';
  return REASONS[code] ?? REASONS[code.slice(0, 2)] ?? 'The database refused';
}

const NOT_KEPT = 'What was sent was not kept.';

/** For a connection that broke while the database was asked to keep. */
export const NOBODY_KNOWS = 'Nobody knows whether what was sent was kept: look before you enter it again.';

/**
 * The message for whoever was refused by the database, by what it says.
 *
 * @param kept what became of what was sent
 */
export function translatedPostgres(error: unknown, kept: string = NOT_KEPT): VeligridError {
  if (error instanceof VeligridError) return error;
  const { code = '', message, detail = '', constraint = '' } = error as Told;
  if (code === '23503') {
    return badArgument('what a record belongs to', 'something that is kept', 'an id that is not there');
  }
  if (code === '23505') {
    const columns = /^Key \((.+?)\)=/.exec(detail)?.[1] ?? constraint;
    return badArgument('a new record', `different from all others in ${columns}`, 'one that is there already');
  }
  const words = `${reasonOf(code, message)} (${message === '' ? code : message}). ${kept}`;
  return new VeligridError('store-failed', words, { cause: error });
}
