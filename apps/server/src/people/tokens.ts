import { randomBytes } from 'node:crypto';
import type { Request } from 'express';
import type { AccessToken, DoorEvent } from '@veligrid/api';
import type { AccessTokenFields, Entered, Kept, Role, SignInEventFields, TokenScope } from '@veligrid/storage';
import type { Call, Handlers, Person } from '../http/call.js';
import { notThere } from '../http/problem-error.js';
import type { House } from '../house.js';
import { hashOf } from './hash-of.js';

/** Begins every secret, so that one that was left lying about is known for what it is. */
const MARK = 'veligrid_';

/** Events shown. */
const MOST_EVENTS = 200;

/** What a program of a scope may do, as people of a role do. */
const ROLE_OF: Readonly<Record<TokenScope, Role>> = { look: 'viewer', record: 'counter' };

/** The secret that a program sent (RFC 6750, 2.1), or null. */
export function bearerOf(req: Pick<Request, 'get'>): string | null {
  const [scheme = '', secret = ''] = (req.get('Authorization') ?? '').split(' ');
  return scheme.toLowerCase() === 'bearer' && secret !== '' ? secret : null;
}

/** Who a program is by its secret; null when the secret is none that is good. */
export async function programOf(house: Pick<House, 'store'>, secret: string): Promise<Person | null> {
  const token = await house.store.tokens.find(hashOf(secret));
  return token === null
    ? null
    : { name: token.name, role: ROLE_OF[token.scope], staffId: null, tokenHash: null, isProgram: true };
}

function shown(house: House, token: Kept<AccessTokenFields>): AccessToken {
  const { id, name, scope, expiresAt, active, addedBy, addedAt } = token;
  const over = !active || (expiresAt !== null && expiresAt <= house.now().toISOString());
  return { id, name, scope, expiresAt, over, madeBy: addedBy, since: addedAt };
}

async function addToken({
  house,
  body: { name, scope, expiresAt },
  by,
}: Call<'addToken'>): Promise<{ readonly token: AccessToken; readonly secret: string }> {
  const secret = MARK + randomBytes(32).toString('base64url');
  const until = expiresAt ? new Date(expiresAt).toISOString() : null;
  const fields = { name, scope, tokenHash: hashOf(secret), expiresAt: until, active: true };
  return house.store.together(async (parts) => {
    const token = await parts.tokens.add(fields, { by });
    await parts.signInEvents.append({ what: 'token-made', staffId: null, tokenId: token.id }, { by });
    return { token: shown(house, token), secret };
  });
}

async function endToken({ house, params, by }: Call<'endToken'>): Promise<AccessToken> {
  return house.store.together(async (parts) => {
    const token = await parts.tokens.get(params['token'] ?? '');
    if (token === null) throw notThere('token');
    if (!token.active) return shown(house, token);
    await parts.signInEvents.append({ what: 'token-ended', staffId: null, tokenId: token.id }, { by });
    return shown(house, await parts.tokens.change(token.id, token.revision, { active: false }, { by }));
  });
}

async function doorEvents(house: House): Promise<DoorEvent[]> {
  const names = new Map([
    ...(await house.store.staff.list()).map(({ id, name }) => [id, name] as const),
    ...(await house.store.tokens.list()).map(({ id, name }) => [id, name] as const),
  ]);
  const event = ({ at, by, what, staffId, tokenId }: Entered<SignInEventFields>): DoorEvent => ({
    at,
    what,
    by,
    about: names.get(staffId ?? tokenId ?? '') ?? null,
  });
  return (await house.store.signInEvents.latest(MOST_EVENTS)).map(event);
}

export const accessHandlers: Handlers<'listTokens' | 'addToken' | 'endToken' | 'listDoorEvents'> = {
  listTokens: async ({ house }) => ({
    tokens: (await house.store.tokens.list()).map((token) => shown(house, token)),
  }),
  addToken,
  endToken,
  listDoorEvents: async ({ house }) => ({ events: await doorEvents(house) }),
};
