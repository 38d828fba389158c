import { copyFileSync, existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openStore, rehearseRestore, restoreStore, rotateBackups, storageUse } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { MIGRATIONS, type Migration } from '../../packages/storage/src/migrations/migrate.js';
import { everyRow, rawDatabase } from './every-row.js';
import { fullStore } from './full-store.js';
import { newFolder } from './new-folder.js';

const at = (hour: number): Date => new Date(Date.UTC(2026, 5, 3, hour));

describe('backups by the time', () => {
  it('stay as many as agreed, the newest, and each restores the store', async () => {
    const data = await fullStore();
    const store = await openStore(data);
    const folder = join(newFolder(), 'backups');
    for (const hour of [8, 9, 10]) await rotateBackups(store, { folder, keep: 2, now: at(hour) });
    await store.close();
    expect(readdirSync(folder)).toEqual(['veligrid-2026-06-03T090000Z', 'veligrid-2026-06-03T100000Z']);
    const back = join(newFolder(), 'back');
    await restoreStore(join(folder, 'veligrid-2026-06-03T100000Z'), back);
    expect(everyRow(back)).toEqual(everyRow(data));
  });

  it('leave alone what is not theirs, and one that may still be on its way', async () => {
    const store = await openStore(newFolder());
    const folder = newFolder();
    const others = ['photos', 'veligrid-old', 'veligrid-2026-06-03T070000Z', 'veligrid-2026-06-01T070000Z'];
    for (const name of others) mkdirSync(join(folder, name));
    await rotateBackups(store, { folder, keep: 1, now: at(8) });
    await store.close();
    // the folder of two days before was cut short long ago
    expect(readdirSync(folder)).toEqual([
      'photos',
      'veligrid-2026-06-03T070000Z',
      'veligrid-2026-06-03T080000Z',
      'veligrid-old',
    ]);
  });

  it('keep the earlier ones when a new one fails', async () => {
    const store = await openStore(newFolder());
    const folder = newFolder();
    await rotateBackups(store, { folder, keep: 1, now: at(8) });
    const full = { backup: () => Promise.reject(new Error('disk full')) };
    await expect(rotateBackups(full, { folder, keep: 1, now: at(9) })).rejects.toThrow('disk full');
    await expect(rotateBackups(store, { folder, keep: 0, now: at(9) })).rejects.toThrow('a whole number of 1 or more');
    await store.close();
    expect(readdirSync(folder)).toEqual(['veligrid-2026-06-03T080000Z']);
  });
});

describe('the rehearsal of a restore', () => {
  it('tells what is in a backup and leaves nothing behind', async () => {
    const store = await openStore(await fullStore());
    const [backup, within] = [join(newFolder(), 'backup'), newFolder()];
    await store.backup(backup);
    const samples = (await store.samples.list()).length;
    await store.close();
    const before = readdirSync(backup, { recursive: true });
    expect(await rehearseRestore(backup, within)).toEqual({ flaws: [], samples });
    expect(readdirSync(within)).toEqual([]);
    expect(readdirSync(backup, { recursive: true })).toEqual(before);
  });

  it('sees a row that was changed behind its back', async () => {
    const store = await openStore(await fullStore());
    const backup = join(newFolder(), 'backup');
    await store.backup(backup);
    await store.close();
    const database = rawDatabase(backup);
    database.exec(`drop trigger decision_no_update`);
    database.exec(`update decision set "by" = 'Eve' where id = 'a'`);
    database.close();
    expect((await rehearseRestore(backup, newFolder())).flaws.map(({ code }) => code)).toContain('chain-broken');
  });
});

describe('a store of an older program', () => {
  const later: Migration = {
    name: '0099-later',
    up: async (db) => {
      await db.schema.alterTable('tank').addColumn('colour', 'text').execute();
    },
  };
  const failing: Migration = { name: '0099-later', up: () => Promise.reject(new Error('no such thing')) };
  const now = (): Date => at(8);
  const copy = 'before-0099-later-2026-06-03T080000000Z.sqlite';

  it('is kept as it was before its schema changes', async () => {
    const data = await fullStore();
    const before = everyRow(data);
    await (await openStore(data, { now, migrations: [...MIGRATIONS, later] })).close();
    expect(readdirSync(data).filter((name) => name.startsWith('before'))).toEqual([copy]);
    const old = newFolder();
    copyFileSync(join(data, copy), join(old, 'veligrid.sqlite'));
    expect(everyRow(old)).toEqual(before);
    // the program before it opens the copy, and refuses what the newer one made
    await (await openStore(old)).close();
    await expect(openStore(data)).rejects.toThrow('made by a newer Veligrid (0099-later)');
  });

  it('is what it was when a step fails', async () => {
    const data = await fullStore();
    const before = everyRow(data);
    await expect(openStore(data, { now, migrations: [...MIGRATIONS, failing] })).rejects.toThrow('no such thing');
    expect(everyRow(data)).toEqual(before);
    expect(existsSync(join(data, copy))).toBe(true);
  });

  it('needs no copy when it is new or up to date', async () => {
    const data = newFolder();
    for (let i = 0; i < 2; i += 1) await (await openStore(data)).close();
    expect(readdirSync(data).filter((name) => name.includes('before'))).toEqual([]);
  });
});

it('the room of a store is told by what takes it', async () => {
  const data = newFolder();
  const store = await openStore(data);
  await store.files.put(Buffer.alloc(30_000, 1));
  mkdirSync(join(data, 'cache', 'a', 'b'), { recursive: true });
  writeFileSync(join(data, 'cache', 'a', 'b', 'tile'), Buffer.alloc(500));
  const use = await storageUse(data);
  await store.close();
  expect(use).toMatchObject({ pictures: 30_000, cache: 500 });
  expect(use.database).toBeGreaterThan(4096);
  expect(use.free).toBeGreaterThan(0);
});
