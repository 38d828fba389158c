import { SIGN_IN_EVENTS, TOKEN_SCOPES, type AccessTokenFields, type SignInEventFields } from './access-contract.js';
import { choice, name, orNull, secret, sha256, time, type LogTable, type Table } from './columns.js';
import { CHAINED, type Logged } from './log-tables.js';
import { ACTIVE, KEPT, type Recorded } from './record-tables.js';

export const ACCESS_TOKEN: Table<Recorded<AccessTokenFields>> = {
  name: 'access_token',
  about: 'programs that may ask and record without a person',
  columns: {
    ...KEPT,
    name: name('what it is for'),
    scope: choice(TOKEN_SCOPES, 'what it may do'),
    tokenHash: secret(orNull(sha256('SHA-256 of the secret'))),
    expiresAt: orNull(time('until when it is good; empty for always')),
    active: ACTIVE,
  },
  key: ['id'],
};

export const SIGN_IN_EVENT: LogTable<Logged<SignInEventFields>> = {
  name: 'sign_in_event',
  about: 'who came in, who was refused, and what changed at the door, append-only',
  columns: {
    ...CHAINED,
    what: choice(SIGN_IN_EVENTS, 'what happened'),
    staffId: orNull(name('whom it was about; empty for a name that nobody has')),
    tokenId: orNull(name('token it was about')),
  },
  key: ['id'],
  chain: [],
};
