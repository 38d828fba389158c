import { spawn, spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { setTimeout } from 'node:timers/promises';
import { diskReason, machineDisk, openStore, type Disk } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { MIGRATIONS } from '../../packages/storage/src/migrations/migrate.js';
import { rawDatabase } from './every-row.js';
import { batch, decision, photographed, SAID } from './examples.js';
import { newFolder } from './new-folder.js';
import { writerArguments, type Acknowledged } from './run-writer.js';

const picturesIn = (folder: string): string[] =>
  readdirSync(`${folder}/pictures`, { recursive: true, encoding: 'utf8' }).filter((one) => /[0-9a-f-]{36,}$/.test(one));

describe('a disk', () => {
  it('that is full while a picture is written keeps nothing of it, says so, and takes it later', async () => {
    const folder = newFolder();
    let full = true;
    const disk: Disk = {
      ...machineDisk,
      async writeNew(path, content) {
        await machineDisk.writeNew(path, content);
        if (full) throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' });
      },
    };
    const store = await openStore(folder, { disk });
    await expect(store.files.put(Buffer.from('abc'))).rejects.toMatchObject({
      code: 'store-failed',
      message: expect.stringMatching(
        /^The picture was not kept\. The disk is full: make room, then try again/,
      ) as unknown,
    });
    expect(picturesIn(folder)).toEqual([]);
    full = false;
    const { sha256 } = await store.files.put(Buffer.from('abc'));
    expect(await store.files.has(sha256)).toBe(true);
    expect(await store.check()).toEqual([]);
    await store.close();
  });

  it('that is full is told as such by whoever writes to it, and other errors are not', () => {
    const withCode = (code: string): Error => Object.assign(new Error(code), { code });
    expect(diskReason(withCode('ENOSPC'))).toBe('The disk is full: make room, then try again');
    expect(diskReason(withCode('EDQUOT'))).toMatch(/^Your share of the disk is full/);
    // as libvips 8.18.7 said it on a full disk; its errors have no code
    const ofPictures = new Error('vips__file_write: write error\nsystem error: No space left on device');
    expect(diskReason(ofPictures)).toBe('The disk is full: make room, then try again');
    expect([diskReason(withCode('ENOENT')), diskReason(new Error('cut short')), diskReason('full')]).toEqual([
      null,
      null,
      null,
    ]);
  });

  it('has the picture, its name and its folder before it is acknowledged, also when it is slow', async () => {
    const done: string[] = [];
    const slow =
      <A extends unknown[], R>(name: string, act: (...args: A) => Promise<R>) =>
      async (...args: A): Promise<R> => {
        await setTimeout(20);
        const result = await act(...args);
        done.push(name);
        return result;
      };
    const disk: Disk = {
      ...machineDisk,
      writeNew: slow('written', (...of) => machineDisk.writeNew(...of)),
      rename: slow('named', (...of) => machineDisk.rename(...of)),
      syncFolder: slow('folder', (...of) => machineDisk.syncFolder(...of)),
    };
    const store = await openStore(newFolder(), { disk });
    await store.files.put(Buffer.from('first'));
    done.length = 0;
    await store.files.put(Buffer.from('abc'));
    // the two folders made for it are synced into those above them before, the one it lies in after
    expect(done).toEqual(['written', 'folder', 'folder', 'named', 'folder']);
    await store.close();
  });

  it.runIf(process.platform === 'linux')('whose files may not grow loses nothing that was acknowledged', async () => {
    const folder = newFolder();
    // the limit as the shell sets it, in kilobytes; the signal that would end the process is turned into an error
    const command = `trap '' XFSZ; ulimit -f 900; exec "$@"`;
    const { stdout } = spawnSync('bash', ['-c', command, '-', process.execPath, ...writerArguments(folder)], {
      encoding: 'utf8',
    });
    const said = stdout
      .trim()
      .split('\n')
      .slice(1)
      .map((line) => JSON.parse(line) as Acknowledged | { error: string });
    const last = said.at(-1);
    expect(last !== undefined && 'error' in last ? last.error : '').toMatch(/The disk (failed or )?is full/);
    const acknowledged = said.filter((one): one is Acknowledged => 'round' in one);
    expect(acknowledged.length).toBeGreaterThan(4);
    const store = await openStore(folder);
    for (const { sampleId, photoId, decisions } of acknowledged) {
      const open = await store.samples.open(sampleId);
      expect(open?.photos[0]?.id).toBe(photoId);
      expect(open?.decisions.length).toBeGreaterThanOrEqual(decisions.length);
    }
    expect(await store.check()).toEqual([]);
    await store.batches.add(batch, SAID);
    await store.close();
  });
});

describe('a clock', () => {
  it('that is set back changes no order and breaks no chain', async () => {
    const times = ['2026-06-01T08:00:00Z', '2026-06-01T09:00:00Z', '1999-01-01T00:00:00Z', '2026-06-01T10:00:00Z'];
    let now = 0;
    const store = await openStore(newFolder(), { now: () => new Date(times[now] ?? '') });
    const { sampleId, photoId } = await photographed(store);
    for (const [i, id] of ['a', 'b', 'c', 'd'].entries()) {
      now = i;
      await store.decisions.append(sampleId, i, [decision(id, photoId)]);
    }
    expect((await store.decisions.ofSample(sampleId)).map(({ id }) => id)).toEqual(['a', 'b', 'c', 'd']);
    expect(await store.check()).toEqual([]);
    await store.close();
  });
});

describe('making the tables', () => {
  it('by several processes at once is done once', async () => {
    const folder = newFolder();
    const ends = await Promise.all(
      [1, 2, 3].map(
        () =>
          new Promise<number | null>((resolve) => {
            const child = spawn(process.execPath, [...writerArguments(folder), '0'], { stdio: 'ignore' });
            child.on('exit', resolve);
          }),
      ),
    );
    expect(ends).toEqual([0, 0, 0]);
    const database = rawDatabase(folder);
    expect(database.prepare('select name from migration').all()).toEqual(MIGRATIONS.map(({ name }) => ({ name })));
    database.close();
    const store = await openStore(folder);
    expect(await store.check()).toEqual([]);
    await store.close();
  });

  it('refuses a store that a newer program has made, and leaves it as it is', async () => {
    const folder = newFolder();
    await (await openStore(folder)).close();
    const database = rawDatabase(folder);
    database.exec(`insert into migration values ('9999-later', '2036-01-01T00:00:00.000Z')`);
    database.close();
    await expect(openStore(folder)).rejects.toThrow('made by a newer Veligrid (9999-later)');
  });
});
