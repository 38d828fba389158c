import { z } from 'zod';
import { time, words } from './parts.js';

/** What a program may do: look at everything, or record as a counter does. */
const scope = z.enum(['look', 'record']);

/** Lets a program in without a person. */
export const accessToken = z.object({
  id: z.string(),
  /** What it is for; stands in the record as who said it. */
  name: z.string(),
  scope,
  /** Null for one that does not run out. */
  expiresAt: time.nullable(),
  /** Ended by a manager, or run out. */
  over: z.boolean(),
  madeBy: z.string(),
  since: time,
});

export const newToken = z.strictObject({ name: words, scope, expiresAt: time.nullish() });

/** A new token with its secret, which is told this once. */
export const madeToken = z.object({ token: accessToken, secret: z.string() });

/** Something that happened at the door. */
export const doorEvent = z.object({
  at: time,
  what: z.enum([
    'signed-in',
    'wrong-password',
    'locked-out',
    'signed-out',
    'password-changed',
    'token-made',
    'token-ended',
  ]),
  by: z.string(),
  /** Whom or what it was about; null for a name that nobody has. */
  about: z.string().nullable(),
});
