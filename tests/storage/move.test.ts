import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { moveStore, openStore, type DatabasePlace } from '@veligrid/storage';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pathOf } from '../../packages/storage/src/files/place-file.js';
import { startPostgres, withoutPostgres, type PrivatePostgres } from '../support/private-postgres.js';
import { everyRow } from './every-row.js';
import { batch, photographed, SAID } from './examples.js';
import { fullStore } from './full-store.js';
import { newFolder } from './new-folder.js';

describe.skipIf(withoutPostgres)('moving a hatchery into PostgreSQL', () => {
  let postgres: PrivatePostgres;
  beforeAll(async () => {
    postgres = await startPostgres();
  });
  afterAll(async () => {
    await postgres.remove();
  });

  async function newPlace(): Promise<DatabasePlace & { readonly photos: string }> {
    const folder = newFolder();
    return { address: await postgres.newDatabase(), photos: join(folder, 'photos'), folder };
  }

  it('brings every row and every photo, and changes nothing when it is done again', async () => {
    const [data, place] = [await fullStore(), await newPlace()];
    const told: number[] = [];
    const first = await moveStore(data, place, { onPhoto: (done) => told.push(done) });
    expect(first).toMatchObject({ photos: 1, photosThere: 0, before: false });
    expect(told).toEqual([1]);
    const store = await openStore(place);
    expect(await store.check()).toEqual([]);
    // the way back: a backup of it is a folder again, with the same rows
    const back = join(newFolder(), 'back');
    await store.backup(back);
    expect(everyRow(back)).toEqual(everyRow(data));
    await store.close();
    expect(await moveStore(data, place)).toEqual({ ...first, photosThere: 1, before: true });
  });

  it('goes on after it was cut between photos and rows, and mends a photo that arrived by half', async () => {
    const [data, place] = [newFolder(), await newPlace()];
    const old = await openStore(data);
    await photographed(old);
    const { sha256 } = await old.files.put(Buffer.from('another photo'));
    await old.close();
    const cut = moveStore(data, place, {
      onPhoto: (done) => {
        if (done === 2) throw new Error('cut');
      },
    });
    await expect(cut).rejects.toThrow('cut');
    const store = await openStore(place);
    expect(await store.samples.list()).toEqual([]);
    writeFileSync(pathOf(place.photos, sha256), 'another pho');
    expect(await moveStore(data, place)).toMatchObject({ photos: 2, photosThere: 1, before: false });
    expect(readFileSync(await store.files.localPath(sha256), 'utf8')).toBe('another photo');
    expect(await store.samples.list()).toHaveLength(1);
    await store.close();
  });

  it('refuses a database with other records, a folder that gets photos meanwhile, and a photo that is not what was kept', async () => {
    const [data, place] = [newFolder(), await newPlace()];
    const old = await openStore(data);
    const { sha256 } = await old.files.put(Buffer.from('a photo'));
    const store = await openStore(place);
    await store.batches.add(batch, SAID);
    await expect(moveStore(data, place)).rejects.toThrow('holds other records already');
    expect(await store.batches.list()).toHaveLength(1);
    await store.close();
    // somebody goes on working
    const onPhoto = (): Promise<unknown> => old.files.put(Buffer.from('one more'));
    await expect(moveStore(data, await newPlace(), { onPhoto })).rejects.toThrow(`Somebody uses ${data}`);
    await old.close();
    writeFileSync(pathOf(join(data, 'pictures'), sha256), 'another');
    rmSync(place.photos, { recursive: true });
    await expect(moveStore(data, place)).rejects.toThrow('is not what was kept');
  });
});
