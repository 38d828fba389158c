import { randomBytes } from 'node:crypto';
import type { Request, Response } from 'express';
import type { Person } from '../http/call.js';
import type { House } from '../house.js';
import { AT_MICROSCOPE, readCookie, setCookie, SIGN_IN } from './cookies.js';
import { hashOf } from './hash-of.js';
import { bearerOf, programOf } from './tokens.js';

const HOUR = 3_600_000;

/** A sign-in ends when nothing was done for a shift. */
const IDLE_MS = 12 * HOUR;
/** Its token is changed so often; the old one is good a little longer, for requests that are on their way. */
const ROTATE_MS = HOUR;
const GRACE_MS = 60_000;
/** A name at the microscope is remembered for so long. */
const NAME_MS = 30 * 24 * HOUR;

const NOBODY: Person = { name: null, role: null, staffId: null, tokenHash: null, isProgram: false };

/** Whether people must sign in: somebody has a password, or the house wants it. */
export async function accountsExist(house: Pick<House, 'store'>): Promise<boolean> {
  return (await house.store.staff.list()).some(({ passwordHash }) => passwordHash !== null);
}

/** Signs a person in: a new token, whose hash alone is kept. */
export async function startSignIn(house: House, res: Response, staffId: string): Promise<string> {
  const token = randomBytes(32).toString('base64url');
  const expiresAt = new Date(house.now().getTime() + IDLE_MS).toISOString();
  const tokenHash = hashOf(token);
  await house.store.signIns.add({ tokenHash, staffId, expiresAt });
  setCookie(res, SIGN_IN, token, { secure: house.secureCookies, maxAgeMs: IDLE_MS });
  return tokenHash;
}

/** Signs out: the token is worth nothing any more. */
export async function endSignIn(house: House, res: Response, tokenHash: string | null): Promise<void> {
  if (tokenHash !== null) await house.store.signIns.remove(tokenHash);
  setCookie(res, SIGN_IN, null, { secure: house.secureCookies, maxAgeMs: 0 });
}

/** Remembers who is at the microscope on a machine without accounts. */
export function rememberName(house: House, res: Response, name: string | null): void {
  setCookie(res, AT_MICROSCOPE, name, { secure: house.secureCookies, maxAgeMs: NAME_MS });
}

async function signedIn(house: House, req: Request, res: Response): Promise<Person> {
  const token = readCookie(req, SIGN_IN);
  const tokenHash = token === null ? '' : hashOf(token);
  const found = token === null ? null : await house.store.signIns.find(tokenHash);
  if (found === null || !found.staff.active) return NOBODY;
  const { signIn, staff } = found;
  const now = house.now().getTime();
  const person = { name: staff.name, role: staff.role, staffId: staff.id, isProgram: false };
  if (now - Date.parse(signIn.startedAt) > ROTATE_MS) {
    // one that is in its grace already was changed by another request
    if (Date.parse(signIn.expiresAt) - now <= GRACE_MS) return { ...person, tokenHash };
    await house.store.signIns.extend(tokenHash, new Date(now + GRACE_MS).toISOString());
    return { ...person, tokenHash: await startSignIn(house, res, staff.id) };
  }
  return { ...person, tokenHash };
}

/** Who sends a request. A program's secret alone counts where there is one: no cookie, no name at the microscope. */
export async function identify(house: House, req: Request, res: Response): Promise<Person> {
  const secret = bearerOf(req);
  if (secret !== null) return (await programOf(house, secret)) ?? NOBODY;
  if (house.accountsWanted || (await accountsExist(house))) return signedIn(house, req, res);
  const name = readCookie(req, AT_MICROSCOPE)?.trim() ?? '';
  return { ...NOBODY, name: name === '' ? null : name.slice(0, 200), role: 'manager' };
}
