import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { VeligridError } from '@veligrid/model';
import { together, type Context } from '../context.js';
import { copyRows } from '../copy-rows.js';
import { machineDisk } from '../files/disk.js';
import { folderPlace, type PicturePlace } from '../files/picture-place.js';
import { DATABASE, PICTURES } from '../layout.js';
import { openDatabase, refuseMissing } from '../open-database.js';
import { openPlace, type OpenPlace } from '../place/open-place.js';
import type { DatabasePlace } from '../place/store-place.js';
import { FILE } from '../record-tables.js';
import { TABLES } from '../tables.js';
import { hashRows, type RowsHash } from './rows-hash.js';

/** What a move came to. */
export interface Moved {
  /** Rows of all tables. */
  readonly rows: number;
  readonly photos: number;
  /** Photos that an earlier try had brought already. */
  readonly photosThere: number;
  /** Everything was there already, and is the same. */
  readonly before: boolean;
}

/** How a store is moved. */
export interface MoveOptions {
  /** Told after each photo, and waited for. */
  readonly onPhoto?: (done: number, all: number) => unknown;
}

type Hashes = ReadonlyMap<string, RowsHash>;

async function hashesOf(context: Pick<Context, 'db'>): Promise<Hashes> {
  const hashes = new Map<string, RowsHash>();
  for (const table of TABLES) hashes.set(table.name, await hashRows(context.db, table));
  return hashes;
}

/** The first table that differs, or null. */
function difference(from: Hashes, to: Hashes): string | null {
  const differs = ([name, { rows, sha256 }]: [string, RowsHash]): boolean =>
    to.get(name)?.rows !== rows || to.get(name)?.sha256 !== sha256;
  return [...from].find(differs)?.[0] ?? null;
}

const rowsIn = (hashes: Hashes): number => [...hashes.values()].reduce((sum, { rows }) => sum + rows, 0);

async function hashOf(content: AsyncIterable<Uint8Array>): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of content) hash.update(chunk);
  return hash.digest('hex');
}

const isWhole = async (place: PicturePlace, sha256: string, bytes: number): Promise<boolean> =>
  (await place.size(sha256)) === bytes && (await hashOf(place.stream(sha256))) === sha256;

interface Pictures {
  readonly photos: number;
  readonly photosThere: number;
}

/** Brings all photos to another place; each is read back there and compared with its name. */
async function movePictures(
  { db }: Context,
  from: PicturePlace,
  to: PicturePlace,
  { onPhoto }: MoveOptions,
): Promise<Pictures> {
  const files = await db.selectFrom(FILE.name).select(['sha256', 'bytes']).orderBy('sha256').execute();
  let there = 0;
  for (const [i, file] of files.entries()) {
    const [sha256, bytes] = [String(file['sha256']), Number(file['bytes'])];
    if (await isWhole(to, sha256, bytes)) {
      there += 1;
    } else {
      const placed = await to.keep(from.stream(sha256));
      if (placed.sha256 !== sha256) {
        const message = `The photo ${from.nameOf(sha256)} is not what was kept. Run veligrid check, then bring it back from a backup.`;
        throw new VeligridError('store-failed', message);
      }
      if (!(await isWhole(to, sha256, bytes)))
        throw new VeligridError('store-failed', `The photo ${to.nameOf(sha256)} did not arrive whole. Move again.`);
    }
    await onPhoto?.(i + 1, files.length);
  }
  return { photos: files.length, photosThere: there };
}

/** Brings all rows at one stroke: what arrives is compared with what was sent before anything is kept. */
async function moveRows(from: Context, to: OpenPlace, sent: Hashes): Promise<boolean> {
  return together(to.context, async (working) => {
    const there = await hashesOf(working);
    if (difference(sent, there) === null) return true;
    if (rowsIn(there) > 0) {
      const message = 'The database holds other records already. Nothing was moved: name an empty database.';
      throw new VeligridError('bad-argument', message);
    }
    await copyRows(from.db, working.db, TABLES);
    const wrong = difference(sent, await hashesOf(working));
    if (wrong === null) return false;
    throw new VeligridError('store-failed', `What arrived of ${wrong} is not what was sent. Nothing of it was kept.`);
  });
}

/**
 * Copies a hatchery from its folder into a database and place of photos that many machines use. Photos come first, then
 * all rows at one stroke, so that it can be repeated after a cut. The folder stays as it is.
 *
 * @param folder of the hatchery; nobody else should have it open: what is entered later stays behind
 * @throws VeligridError `bad-argument` when the database holds other records; `changed-meanwhile` when photos were added
 *   meanwhile; `store-failed` when something did not arrive as it was sent
 */
export async function moveStore(folder: string, to: DatabasePlace, options: MoveOptions = {}): Promise<Moved> {
  await refuseMissing(machineDisk, folder);
  const from = await openDatabase(join(folder, DATABASE), {}, false);
  try {
    const target = await openPlace(to, {});
    try {
      const pictures = await movePictures(
        from.context,
        folderPlace(machineDisk, join(folder, PICTURES)),
        target.pictures,
        options,
      );
      // within a transaction of its own: nobody can enter anything while it is read and compared
      return await together(from.context, async (source) => {
        const sent = await hashesOf(source);
        const photos = await source.db.selectFrom(FILE.name).select('sha256').execute();
        if (photos.length !== pictures.photos)
          throw new VeligridError('changed-meanwhile', `Somebody uses ${folder}. End the server, then move again.`);
        return { ...pictures, rows: rowsIn(sent), before: await moveRows(source, target, sent) };
      });
    } finally {
      await target.backend.close();
    }
  } finally {
    await from.backend.close();
  }
}
