import { randomBytes, scrypt, timingSafeEqual } from 'node:crypto';

/** Cost of a hash as OWASP gives it for scrypt: N = 2^17, r = 8, p = 1 (Password Storage Cheat Sheet). */
export const USUAL_COST = 17;
const BLOCK = 8;
const PARALLEL = 1;
const KEY_BYTES = 32;

/** One hash takes 128 MiB at the usual cost, so only so many are made at a time. */
const AT_A_TIME = 2;

let running = 0;
const waiting: (() => void)[] = [];

async function inTurn<T>(work: () => Promise<T>): Promise<T> {
  if (running >= AT_A_TIME) await new Promise<void>((resolve) => waiting.push(resolve));
  running += 1;
  try {
    return await work();
  } finally {
    running -= 1;
    waiting.shift()?.();
  }
}

function key(password: string, salt: Buffer, cost: number): Promise<Buffer> {
  const N = 2 ** cost;
  const options = { N, r: BLOCK, p: PARALLEL, maxmem: 256 * N * BLOCK };
  return new Promise((resolve, reject) => {
    // the same letter typed on two keyboards may come as different characters (NFC after RFC 8265)
    scrypt(password.normalize('NFC'), salt, KEY_BYTES, options, (error, derived) => {
      if (error === null) resolve(derived);
      else reject(error);
    });
  });
}

/**
 * Hash of a password with a salt of its own, to be kept.
 *
 * @param cost power of two; 17 but in tests
 * @returns `scrypt$cost$salt$key`, the last two in base64
 */
export async function hashPassword(password: string, cost: number): Promise<string> {
  const salt = randomBytes(16);
  const derived = await inTurn(() => key(password, salt, cost));
  return ['scrypt', String(cost), salt.toString('base64'), derived.toString('base64')].join('$');
}

/** Whether a password belongs to a hash; false for a hash that can't be read. */
export async function passwordFits(password: string, hash: string): Promise<boolean> {
  const [kind, cost = '', salt = '', stored = ''] = hash.split('$');
  const wanted = Buffer.from(stored, 'base64');
  if (kind !== 'scrypt' || !/^\d{1,2}$/.test(cost) || wanted.length !== KEY_BYTES) return false;
  const derived = await inTurn(() => key(password, Buffer.from(salt, 'base64'), Number(cost)));
  return timingSafeEqual(derived, wanted);
}
