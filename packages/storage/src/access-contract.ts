import type { Entered, Kept, Records, Said } from './kept-contract.js';

/** What a program with an access token may do: look at everything, or record as a counter does. */
export const TOKEN_SCOPES = ['look', 'record'] as const;
export type TokenScope = (typeof TOKEN_SCOPES)[number];

/** Lets a program in without a person: a logger, a feed controller, a script. */
export interface AccessTokenFields {
  /** What it is for; written into the record as who said it. */
  readonly name: string;
  readonly scope: TokenScope;
  /** SHA-256 of the secret, hexadecimal; the secret itself is nowhere kept. Not in exports: null after an import without. */
  readonly tokenHash: string | null;
  /** Null for one that does not run out. */
  readonly expiresAt: string | null;
  /** False once it was ended; tokens are never removed. */
  readonly active: boolean;
}

export const SIGN_IN_EVENTS = [
  'signed-in',
  'wrong-password',
  'locked-out',
  'signed-out',
  'password-changed',
  'token-made',
  'token-ended',
] as const;

/** Something that happened at the door. Neither passwords nor addresses nor names of nobody are written down. */
export interface SignInEventFields {
  readonly what: (typeof SIGN_IN_EVENTS)[number];
  /** Who it was about; null for a name that nobody has. */
  readonly staffId: string | null;
  /** Token it was about; null for people. */
  readonly tokenId: string | null;
}

/** The part of a store about who gets in. */
export interface AccessParts {
  readonly tokens: Records<AccessTokenFields> & {
    /** The one with this hash that is neither ended nor run out. */
    find(tokenHash: string): Promise<Kept<AccessTokenFields> | null>;
  };
  readonly signInEvents: {
    append(fields: SignInEventFields, said: Said): Promise<Entered<SignInEventFields>>;
    /** The last ones, latest first. */
    latest(most: number): Promise<readonly Entered<SignInEventFields>[]>;
  };
}
