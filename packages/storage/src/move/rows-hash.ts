import { createHash } from 'node:crypto';
import { canonicalJson, type AnyTable } from '../columns.js';
import type { Db } from '../dialect/backend.js';
import { walk } from '../walk.js';

/** How many rows a table has, and the SHA-256 of all of them in order. */
export interface RowsHash {
  readonly rows: number;
  readonly sha256: string;
}

const plain = (value: unknown): unknown =>
  value instanceof Uint8Array ? `bytes ${Buffer.from(value).toString('base64')}` : value;

/** The same for the same rows, whichever database they are in. */
export async function hashRows(db: Db, table: AnyTable): Promise<RowsHash> {
  const hash = createHash('sha256');
  let rows = 0;
  for await (const row of walk({ db }, table)) {
    hash.update(canonicalJson(Object.fromEntries(Object.entries(row).map(([key, value]) => [key, plain(value)]))));
    hash.update('\n');
    rows += 1;
  }
  return { rows, sha256: hash.digest('hex') };
}
