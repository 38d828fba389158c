import { randomInt, timingSafeEqual } from 'node:crypto';

/** A code that makes whoever reads the server's console the first manager, once. */
export interface FirstManagerCode {
  readonly text: string;
  /** Whether this is the code; never twice. */
  readonly use: (code: string) => boolean;
}

/** Without letters and digits that are taken for each other. */
const LETTERS = 'ABCDEFGHJKMNPQRSTUVWXYZ23456789';
const GROUPS = 4;
const PER_GROUP = 4;

const plain = (code: string): Buffer => Buffer.from(code.toUpperCase().replaceAll(/[^A-Z0-9]/g, ''));

/** Makes a code of 16 letters, some 79 bits. */
export function makeFirstManagerCode(): FirstManagerCode {
  const letters = Array.from({ length: GROUPS * PER_GROUP }, () => LETTERS[randomInt(LETTERS.length)] ?? 'A').join('');
  let open = true;
  return {
    text: letters.replaceAll(/(.{4})(?=.)/g, '$1-'),
    use: (code) => {
      const [given, wanted] = [plain(code), Buffer.from(letters)];
      const fits = open && given.length === wanted.length && timingSafeEqual(given, wanted);
      if (fits) open = false;
      return fits;
    },
  };
}
