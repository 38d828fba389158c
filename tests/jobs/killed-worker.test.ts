import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { enqueueCounts, startRunner } from '@veligrid/jobs';
import { openStore } from '@veligrid/storage';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { photographed, SAID } from '../storage/examples.js';
import { newFolder } from '../storage/new-folder.js';
import { startPostgres, withoutPostgres, type PrivatePostgres } from '../support/private-postgres.js';

const LEASE_MS = 3000;

describe.skipIf(withoutPostgres)('a worker that is killed while it counts', () => {
  let postgres: PrivatePostgres;
  beforeAll(async () => {
    postgres = await startPostgres();
  });
  afterAll(async () => {
    await postgres.remove();
  });

  it('loses its photo to another machine when its lease is over, and the count is there once', async () => {
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
});
