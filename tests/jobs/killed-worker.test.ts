import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { enqueueCounts, startRunner } from '@veligrid/jobs';
import { openStore } from '@veligrid/storage';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { photographed, SAID } from '../storage/examples.js';
import { countOf } from '../storage/count-example.js';
import { newFolder } from '../storage/new-folder.js';
import { startPostgres, withoutPostgres, type PrivatePostgres } from '../support/private-postgres.js';
import { shakyNetwork } from '../support/shaky-network.js';

const LEASE_MS = 3000;

describe.skipIf(withoutPostgres)('a worker that ends or falls silent while it counts', () => {
  let postgres: PrivatePostgres;
  beforeAll(async () => {
    postgres = await startPostgres();
  });
  afterAll(async () => {
    await postgres.remove();
  });

  it('and is killed loses its photo to another machine when its lease is over, and the count is there once', async () => {
    const folder = newFolder();
    const place = { database: await postgres.newDatabase(), photos: join(folder, 'photos'), folder };
    const file = join(folder, 'place.json');
    writeFileSync(file, JSON.stringify(place));
    const store = await openStore(file);
    const { fillingId } = await photographed(store);
    const { sha256 } = await store.files.put(Buffer.from('a picture'));
    const fields = { fillingId, sha256, page: 1, calibrationId: null, widthPx: null, heightPx: null, takenAt: null };
    const { id } = await store.photos.add({ ...fields, name: 'slow.jpg' }, SAID);
    const [job] = await enqueueCounts(store, [id]);

    const program = fileURLToPath(new URL('run-worker.mjs', import.meta.url));
    const child = spawn(process.execPath, [program, file, String(LEASE_MS)], { stdio: ['ignore', 'pipe', 'inherit'] });
    const [begun] = (await once(child.stdout, 'data')) as [Buffer];
    expect(begun.toString()).toBe('running\n');
    child.kill('SIGKILL');
    await once(child, 'exit');
    const held = await store.jobs.get(job?.id ?? '');
    expect(held).toMatchObject({
      state: 'running',
      attempts: 1,
      worker: expect.stringMatching(`/${child.pid}$`) as string,
    });

    // as a worker of another machine sees it: it can't know that this one is dead
    expect(await store.jobs.claim('elsewhere/1', ['count-photo'], LEASE_MS)).toBeNull();
    const claim = (): ReturnType<typeof store.jobs.claim> => store.jobs.claim('elsewhere/1', ['count-photo'], LEASE_MS);
    await expect.poll(claim, { timeout: 20_000, interval: 100 }).toMatchObject({ id: job?.id, attempts: 2 });
    expect(await store.jobs.done({ id: job?.id ?? '', attempt: 1 })).toBe(false);

    // that one goes too, and one of this machine counts it
    const runner = await startRunner(store, {
      threads: 1,
      leaseMs: LEASE_MS,
      pollMs: 50,
      worker: new URL('fake-count-worker.mjs', import.meta.url),
    });
    const state = async (): Promise<unknown> => (await store.jobs.get(job?.id ?? ''))?.state;
    await expect.poll(state, { timeout: 20_000 }).toBe('done');
    await runner.stop();
    expect(await store.jobs.get(job?.id ?? '')).toMatchObject({ attempts: 3 });
    expect(await store.detections.ofPhoto(id)).toHaveLength(1);
    expect(await store.check()).toEqual([]);
    await store.close();
  });

  it('puts no second result when its network comes back after another has counted', { timeout: 60_000 }, async () => {
    const network = await shakyNetwork(postgres.socketPath);
    const folder = newFolder();
    const straight = await postgres.newDatabase();
    const database = straight.replace(/\/(\w+)\?.*$/, `127.0.0.1:${String(network.port)}/$1`);
    const store = await openStore({ address: straight, photos: join(folder, 'photos'), folder });
    const faults: unknown[] = [];
    // what it sends when the network stands still is given up after a second
    const far = await openStore({
      address: `${database}?query_timeout=1000&idle_in_transaction_session_timeout=1000`,
      photos: join(folder, 'photos'),
      folder: join(folder, 'far'),
    });
    const { fillingId } = await photographed(store);
    const { sha256 } = await store.files.put(Buffer.from('a picture'));
    const fields = { fillingId, sha256, page: 1, calibrationId: null, widthPx: null, heightPx: null, takenAt: null };
    const first = await store.photos.add({ ...fields, name: 'slow 1.jpg' }, SAID);
    const other = await store.files.put(Buffer.from('another picture'));
    const second = await store.photos.add({ ...fields, sha256: other.sha256, name: '2.jpg' }, SAID);
    const [job] = await enqueueCounts(store, [first.id]);
    let begun = false;
    const runner = await startRunner(far, {
      threads: 1,
      leaseMs: 1000,
      pollMs: 50,
      worker: new URL('fake-count-worker.mjs', import.meta.url),
      onChange: ({ id, state }) => {
        // it counts on while nobody hears of it
        if (id !== job?.id || state !== 'running') return;
        network.stall();
        begun = true;
      },
      onFault: (error) => faults.push(error),
    });
    await expect.poll(() => begun, { timeout: 20_000 }).toBe(true);
    const elsewhere = (): ReturnType<typeof store.jobs.claim> =>
      store.jobs.claim('elsewhere/1', ['count-photo'], 60_000);
    await expect.poll(elsewhere, { timeout: 20_000 }).toMatchObject({ id: job?.id, attempts: 2 });
    const count = countOf('slow 1.jpg');
    await store.detections.add({ photoId: first.id, count: { ...count, photo: first.id } }, { by: 'elsewhere' });
    expect(await store.jobs.done({ id: job?.id ?? '', attempt: 2 })).toBe(true);
    // by now it has its own count, and can not keep it
    await expect.poll(() => faults.length, { timeout: 20_000 }).toBeGreaterThan(0);
    network.heal();
    const [next] = await enqueueCounts(store, [second.id]);
    const state = async (): Promise<unknown> => (await store.jobs.get(next?.id ?? ''))?.state;
    await expect.poll(state, { timeout: 20_000 }).toBe('done');
    expect(await store.detections.ofPhoto(first.id)).toMatchObject([{ by: 'elsewhere' }]);
    expect(await store.detections.ofPhoto(second.id)).toHaveLength(1);
    expect(await store.jobs.get(job?.id ?? '')).toMatchObject({ state: 'done', attempts: 2, reason: null });
    expect(faults.map((error) => (error as Error).message).join()).toMatch(/The connection to the database broke/);
    expect(await store.check()).toEqual([]);
    await runner.stop();
    await far.close();
    await store.close();
    await network.close();
  });
});
