import { appendFileSync, existsSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openStore, restoreStore } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { everyRow, rawDatabase } from './every-row.js';
import { batch, photographed, SAID } from './examples.js';
import { newFolder } from './new-folder.js';
import { fullStore } from './full-store.js';

async function flawsOf(folder: string): Promise<readonly { code: string; message: string }[]> {
  const store = await openStore(folder, { create: false });
  try {
    return await store.check();
  } finally {
    await store.close();
  }
}

describe('a backup', () => {
  it('restores the same store, row by row', async () => {
    const folder = await fullStore();
    const [backup, back] = [join(newFolder(), 'backup'), join(newFolder(), 'back')];
    const store = await openStore(folder);
    await store.backup(backup);
    await store.close();
    expect(readdirSync(backup).toSorted()).toEqual(['pictures', 'veligrid.sqlite']);
    await restoreStore(backup, back);
    expect(everyRow(back)).toEqual(everyRow(folder));
    expect(await flawsOf(back)).toEqual([]);
  });

  it('taken while others write is a store as it was at one moment', async () => {
    const folder = newFolder();
    const [writer, other] = [await openStore(folder), await openStore(folder)];
    let [written, stop] = [0, false];
    const writing = (async () => {
      while (!stop) {
        await photographed(writer);
        await writer.files.put(Buffer.from(`picture ${written}`));
        written += 1;
      }
    })();
    while (written < 5) await new Promise((resolve) => setTimeout(resolve, 5));
    const backup = join(newFolder(), 'backup');
    const before = written;
    await other.backup(backup);
    stop = true;
    await writing;
    await Promise.all([writer.close(), other.close()]);
    const back = join(newFolder(), 'back');
    await restoreStore(backup, back);
    expect(await flawsOf(back)).toEqual([]);
    const restored = await openStore(back);
    expect((await restored.samples.list()).length).toBeGreaterThanOrEqual(before);
    await restored.close();
  });

  it('is neither made into nor restored over anything', async () => {
    const folder = await fullStore();
    const store = await openStore(folder);
    await expect(store.backup(folder)).rejects.toThrow('is not empty. Choose a new folder for the backup');
    const backup = join(newFolder(), 'backup');
    await store.backup(backup);
    await store.close();
    await expect(restoreStore(backup, folder)).rejects.toThrow('is not empty. Choose a new folder for the store');
    await expect(restoreStore(newFolder(), newFolder())).rejects.toThrow('holds no whole backup');
  });

  it('with a picture that was changed is not restored', async () => {
    const store = await openStore(await fullStore());
    const { sha256 } = await store.files.put(Buffer.from('a picture'));
    const backup = join(newFolder(), 'backup');
    await store.backup(backup);
    await store.close();
    appendFileSync(join(backup, 'pictures', sha256.slice(0, 2), sha256.slice(2, 4), sha256), '!');
    const back = join(newFolder(), 'back');
    await expect(restoreStore(backup, back)).rejects.toThrow('is not what was kept');
    expect(existsSync(join(back, 'veligrid.sqlite'))).toBe(false);
  });
});

describe('a check', () => {
  /** Flaws after something was done to a full store behind its back. */
  async function after(change: (folder: string) => void): Promise<string[]> {
    const folder = await fullStore();
    change(folder);
    return (await flawsOf(folder)).map(({ code, message }) => `${code}: ${message}`);
  }
  const bySql =
    (...statements: string[]) =>
    (folder: string): void => {
      const database = rawDatabase(folder);
      for (const statement of statements) database.exec(statement);
      database.close();
    };
  const picture = (folder: string): string => {
    const name = readdirSync(join(folder, 'pictures'), { recursive: true, encoding: 'utf8' }).find((one) =>
      /\w{64}$/.test(one),
    );
    return join(folder, 'pictures', name ?? '');
  };

  it.each<[what: string, change: (folder: string) => void, flaw: RegExp]>([
    [
      'a picture that is gone',
      (folder) => {
        rmSync(picture(folder));
      },
      /^photo-missing: The picture .*Bring it back/,
    ],
    [
      'a picture that was changed',
      (folder) => {
        writeFileSync(picture(folder), 'b picture');
      },
      /^photo-changed: /,
    ],
    [
      'a decision that was rewritten',
      bySql('drop trigger decision_no_update', `update decision set "by" = 'Eve' where id = 'a'`),
      /^chain-broken: Entry 1 of decision/,
    ],
    [
      'a decision that was taken out',
      bySql('drop trigger decision_no_delete', `delete from decision where id = 'a'`),
      /^chain-broken: Entries are missing from decision .* before number 2/,
    ],
    [
      'a count that was rewritten',
      bySql('drop trigger detections_no_update', `update detections set payload = x'0300' where objects = 0`),
      /^row-damaged: The count .* is not what was kept/,
    ],
    [
      'a record that was changed past its history',
      bySql(`update tank set volume_ml = 1`),
      /^row-damaged: The tank .* history/,
    ],
    [
      'a value that can not be',
      bySql(`update tank set active = 7`),
      /^row-damaged: .*active in tank is not true or false/,
    ],
    [
      'a row that belongs to nothing',
      bySql('pragma foreign_keys = off', 'delete from microscope'),
      /^row-damaged: The database says: a row of calibration names a microscope that is not there/,
    ],
  ])('finds %s', async (_, change, flaw) => {
    const flaws = await after(change);
    expect(flaws.filter((one) => flaw.test(one))).not.toEqual([]);
  });

  it('finds a broken file, and says to restore a backup', async () => {
    const folder = await fullStore();
    const database = rawDatabase(folder);
    database.exec('pragma wal_checkpoint(truncate)');
    database.close();
    writeFileSync(
      join(folder, 'veligrid.sqlite'),
      'no database at all, but long enough to look like one to a hasty eye',
    );
    for (const ending of ['-wal', '-shm']) rmSync(join(folder, `veligrid.sqlite${ending}`), { force: true });
    await expect(openStore(folder)).rejects.toThrow(/could not be opened|restore a backup/);
  });
});

describe('the database itself', () => {
  it('refuses to change or take out what is only ever added', async () => {
    const folder = await fullStore();
    const database = rawDatabase(folder);
    for (const table of [
      'change',
      'calibration',
      'detections',
      'decision',
      'sign_off',
      'estimate',
      'rules_version',
      'setting',
    ]) {
      for (const act of [`update "${table}" set entry = entry + 1000`, `delete from "${table}"`]) {
        expect(() => {
          database.exec(act);
        }, act).toThrow('rows of this table are only ever added');
      }
    }
    database.close();
  });

  it('can be opened by two at once, who see each other', async () => {
    const folder = newFolder();
    const [one, two] = [await openStore(folder), await openStore(folder)];
    const kept = await one.batches.add(batch, SAID);
    expect(await two.batches.list()).toEqual([kept]);
    const sums = await Promise.all([one, two].flatMap((store) => [1, 2, 3].map(() => store.batches.add(batch, SAID))));
    expect(new Set(sums.map(({ id }) => id)).size).toBe(6);
    expect(await one.batches.list()).toHaveLength(7);
    await Promise.all([one.close(), two.close()]);
  });
});
