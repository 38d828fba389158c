import { createHash } from 'node:crypto';

/** SHA-256 of a secret, hexadecimal: all that is kept of it. */
export const hashOf = (secret: string): string => createHash('sha256').update(secret).digest('hex');
