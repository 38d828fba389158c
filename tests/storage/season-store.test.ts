import { cpSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { exportStore, importStore, openStore } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { sqliteBackend } from '../../packages/storage/src/dialect/sqlite.js';
import { migrate, MIGRATIONS } from '../../packages/storage/src/migrations/migrate.js';
import { SEASON_TABLES } from '../../packages/storage/src/season-tables.js';
import { rawDatabase } from './every-row.js';
import { batch, SAID } from './examples.js';
import { fullStore } from './full-store.js';
import { newFolder } from './new-folder.js';
import { moved, wholeSeason } from './season-examples.js';

describe('a folder of a version without the season', () => {
  it('gets its tables when it is opened, and keeps what it had', async () => {
    const folder = newFolder();
    const old = sqliteBackend(join(folder, 'veligrid.sqlite'));
    await migrate(old, '2026-05-01T00:00:00.000Z', MIGRATIONS.slice(0, 1));
    await old.close();
    const before = rawDatabase(folder);
    before.exec(`insert into microscope values ('m', 1, 1, 'Ada', 'x', 'Ada', 'x', 'left', '', 1)`);
    before.close();
    const store = await openStore(folder);
    const { crossId } = await wholeSeason(store);
    expect((await store.crosses.list()).map(({ id }) => id)).toEqual([crossId]);
    await store.close();
    const after = rawDatabase(folder);
    expect(after.prepare('select name from microscope').all()).toEqual([{ name: 'left' }]);
    after.close();
  });

  it('is imported from its export; an export of today that lacks a table is refused', async () => {
    const out = join(newFolder(), 'export');
    await exportStore(await fullStore(), out);
    for (const { name } of SEASON_TABLES) rmSync(join(out, 'data', `${name}.csv`));
    await expect(importStore(out, join(newFolder(), 'store'))).rejects.toThrow('broodstock.csv');
    const described = join(out, 'datapackage.json');
    const said = JSON.parse(readFileSync(described, 'utf8')) as { steps: string[] };
    writeFileSync(described, JSON.stringify({ ...said, steps: ['0001-start'] }));
    const back = join(newFolder(), 'store');
    await importStore(out, back);
    const store = await openStore(back, { create: false });
    expect((await store.batches.list()).length).toBeGreaterThan(0);
    expect([await store.moves.list(), await store.broodstock.list()]).toEqual([[], []]);
    await store.close();
  });
});

describe('an export of a version without plans', () => {
  it('is imported without them; one of today that lacks them is refused', async () => {
    const out = join(newFolder(), 'export');
    await exportStore(await fullStore(), out);
    rmSync(join(out, 'data', 'plan.csv'));
    await expect(importStore(out, join(newFolder(), 'store'))).rejects.toThrow('plan.csv');
    const described = join(out, 'datapackage.json');
    const said = JSON.parse(readFileSync(described, 'utf8')) as { steps: string[] };
    writeFileSync(described, JSON.stringify({ ...said, steps: ['0001-start', '0002-season'] }));
    const back = join(newFolder(), 'store');
    await importStore(out, back);
    const store = await openStore(back, { create: false });
    expect([await store.plans.list(), (await store.moves.list()).length > 0]).toEqual([[], true]);
    await store.close();
  });
});

describe('a check', () => {
  const cases: [what: string, sql: string, code: string][] = [
    ['a number moved that was changed', 'update move set number = number + 1 where entry = 2', 'chain-broken'],
    ['a ration that is missing', 'delete from ration where entry = 1', 'chain-broken'],
    ['a plan whose answer was changed', `update plan set answer = '{}' where entry = 2`, 'chain-broken'],
    ['a culture that was renamed', `update culture set name = 'x'`, 'row-damaged'],
    [
      'a parent of a cross that is not there',
      `update cross_made set dams = '["nobody"]' where entry = 1`,
      'row-damaged',
    ],
  ];
  it.each(cases)('finds %s', async (_, sql, code) => {
    const folder = newFolder();
    cpSync(await fullStore(), folder, { recursive: true });
    const database = rawDatabase(folder);
    for (const act of ['update', 'delete']) {
      for (const table of ['move', 'ration', 'cross_made', 'plan']) database.exec(`drop trigger ${table}_no_${act}`);
    }
    database.exec('pragma foreign_keys = off');
    database.exec(sql);
    database.close();
    const store = await openStore(folder);
    expect((await store.check()).map((flaw) => flaw.code)).toContain(code);
    await store.close();
  });

  it('finds nothing wrong with a season', async () => {
    const store = await openStore(newFolder());
    await store.batches.add(batch, SAID);
    const season = await wholeSeason(store);
    await store.moves.append(moved(season), SAID);
    expect(await store.check()).toEqual([]);
    await store.close();
  });

  it('is not needed for what the database itself refuses: rows of the season are only ever added', async () => {
    const database = rawDatabase(await fullStore());
    for (const act of ['update move set number = 0', 'delete from move']) {
      expect(() => {
        database.exec(act);
      }).toThrow('rows of this table are only ever added');
    }
    database.close();
  });
});
