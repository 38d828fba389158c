import { badArgument } from '@veligrid/model';
import { fromRow, toRow } from '../columns.js';
import { together, type Context } from '../context.js';
import type { Files, StoredFile } from '../contract.js';
import { FILE } from '../record-tables.js';
import { onDisk } from './disk-failure.js';
import type { Disk } from './disk.js';
import type { PicturePlace } from './picture-place.js';

async function* one(content: Uint8Array): AsyncIterable<Uint8Array> {
  yield await Promise.resolve(content);
}

/** Picture files at a place, listed in the database. @param disk that `put` reads paths from */
export function pictureFiles(context: Context, disk: Disk, place: PicturePlace): Files {
  async function find(sha256: string, { db }: Context = context): Promise<StoredFile | null> {
    const row = await db.selectFrom(FILE.name).selectAll().where('sha256', '=', sha256).executeTakeFirst();
    return row === undefined ? null : fromRow(FILE, row);
  }

  async function refuseMissing(sha256: string): Promise<void> {
    if ((await find(sha256)) === null) throw badArgument('the name of a picture file', 'one that is kept', sha256);
  }

  return {
    async put(content) {
      const source = content instanceof Uint8Array ? one(content) : disk.stream(content.path);
      const written = await onDisk('The picture was not kept', () => place.keep(source));
      return together(context, async (working) => {
        const kept = await find(written.sha256, working);
        if (kept !== null) return kept;
        const file = { ...written, addedAt: working.now() };
        await working.db.insertInto(FILE.name).values(toRow(FILE, file)).execute();
        return file;
      });
    },
    has: async (sha256) => (await find(sha256)) !== null,
    async read(sha256) {
      await refuseMissing(sha256);
      return onDisk(`The picture ${sha256} could not be read`, () => place.read(sha256));
    },
    async localPath(sha256) {
      await refuseMissing(sha256);
      return onDisk(`The picture ${sha256} could not be read`, () => place.localPath(sha256));
    },
  };
}
