import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { constants, getPriority } from 'node:os';
import { enqueueCounts, startRunner, type Runner, type RunnerOptions } from '@veligrid/jobs';
import { VeligridError } from '@veligrid/model';
import { openStore, type Job, type Store } from '@veligrid/storage';
import { afterEach, describe, expect, it } from 'vitest';
import { photographed, sample, SAID } from '../storage/examples.js';
import { newFolder } from '../storage/new-folder.js';

const worker = new URL('fake-count-worker.mjs', import.meta.url);
const stores: Store[] = [];
const runners: Runner[] = [];

async function store(folder = newFolder()): Promise<Store> {
  const opened = await openStore(folder);
  stores.push(opened);
  return opened;
}

async function started(on: Store, options: RunnerOptions = {}): Promise<Runner> {
  const runner = await startRunner(on, { worker, threads: 2, pollMs: 20, ...options });
  runners.push(runner);
  return runner;
}

/** Photos of one filling by name, queued to be counted. */
async function queued(on: Store, ...names: string[]): Promise<{ photoIds: string[]; jobs: readonly Job[] }> {
  const { fillingId } = await photographed(on);
  const { sha256 } = await on.files.put(Buffer.from('a picture'));
  const photoIds: string[] = [];
  for (const name of names) {
    const size = { widthPx: null, heightPx: null, takenAt: null };
    const { id } = await on.photos.add({ fillingId, sha256, page: 1, name, calibrationId: null, ...size }, SAID);
    photoIds.push(id);
  }
  return { photoIds, jobs: await enqueueCounts(on, photoIds) };
}

const states = async (on: Store): Promise<string[]> => (await on.jobs.list()).map(({ state }) => state);

/** Nice values of the threads of each process that this one began (field 19 of stat, man 5 proc). */
function niceOfChildren(): number[][] {
  const { stdout } = spawnSync('ps', ['-o', 'pid=', '--ppid', String(process.pid)], { encoding: 'utf8' });
  return stdout
    .split('\n')
    .map((pid) => `/proc/${pid.trim()}/task`)
    .filter((tasks) => tasks !== '/proc//task' && existsSync(tasks))
    .map((tasks) =>
      readdirSync(tasks).map((task) =>
        Number(
          readFileSync(`${tasks}/${task}/stat`, 'utf8')
            .replace(/^.*\) /, '')
            .split(' ')[16],
        ),
      ),
    );
}

/** Waits until something holds; the test's own time limit ends it. */
async function until(holds: () => Promise<boolean>): Promise<void> {
  while (!(await holds())) await new Promise((resolve) => setTimeout(resolve, 10));
}

afterEach(async () => {
  for (const runner of runners.splice(0)) await runner.stop();
  for (const opened of stores.splice(0)) await opened.close();
});

describe('the runner', () => {
  it('counts what is queued and keeps it, in processes that stay warm', async () => {
    const on = await store();
    const told: string[] = [];
    const runner = await started(on, { onChange: ({ state }) => told.push(state) });
    const { photoIds } = await queued(on, '1.jpg', '2.jpg', '3.jpg', '4.jpg', '5.jpg');
    runner.wake();
    await runner.idle();
    expect(await states(on)).toEqual(Array.from({ length: 5 }, () => 'done'));
    const processes = new Set<string>();
    for (const photoId of photoIds) {
      const [counted] = await on.detections.ofPhoto(photoId);
      expect(counted?.count).toMatchObject({ photo: photoId, widthPx: 400 });
      processes.add(counted?.count.method.rulesVersion ?? '');
      expect(await on.photos.get(photoId)).toMatchObject({ widthPx: 400, heightPx: 300, revision: 2 });
    }
    expect(processes.size).toBeLessThanOrEqual(2);
    expect(told.toSorted()).toEqual([...Array<string>(5).fill('done'), ...Array<string>(5).fill('running')]);
  });

  it('keeps a count that the store did not take at first, and counts nothing anew for it', async () => {
    const on = await store();
    let full = 2;
    const failing: Store = {
      ...on,
      together: (work) => {
        full -= 1;
        if (full < 0) return on.together(work);
        return Promise.reject(new VeligridError('store-failed', 'The disk of the database is full.'));
      },
    };
    const faults: unknown[] = [];
    const runner = await started(failing, { onFault: (error) => faults.push(error) });
    const { photoIds } = await queued(on, '1.jpg');
    runner.wake();
    await runner.idle();
    expect(await on.jobs.list()).toMatchObject([{ state: 'done', attempts: 1 }]);
    expect(await on.detections.ofPhoto(photoIds[0] ?? '')).toHaveLength(1);
    expect(faults).toHaveLength(2);
  });

  it('ends although the store takes nothing, and gives the photo back', async () => {
    const on = await store();
    const full = (): Promise<never> => Promise.reject(new VeligridError('store-failed', 'The disk is full.'));
    const faults: unknown[] = [];
    const runner = await started({ ...on, together: full }, { onFault: (error) => faults.push(error) });
    await queued(on, '1.jpg');
    runner.wake();
    await until(() => Promise.resolve(faults.length > 0));
    await runner.stop();
    expect(await states(on)).toEqual(['waiting']);
  });

  it('loses one photo when a worker crashes, says why, and counts the others', async () => {
    const on = await store();
    const runner = await started(on);
    const { jobs } = await queued(on, '1.jpg', 'exit.jpg', '2.jpg', 'throw.jpg', 'bad.jpg', 'killed.jpg', '3.jpg');
    runner.wake();
    await runner.idle();
    expect(await states(on)).toEqual(['done', 'failed', 'done', 'failed', 'failed', 'failed', 'done']);
    const reasons = await Promise.all(jobs.map(async ({ id }) => (await on.jobs.get(id))?.reason));
    expect(reasons[1]).toContain('the worker that had it stopped (exit 9). Try it again');
    expect(reasons[3]).toContain('Array buffer allocation failed');
    expect(reasons[4]).toBe('bad.jpg is no photo. Save it as JPEG.');
    expect(reasons[5]).toContain('the worker that had it stopped (SIGSEGV). Try it again');
  });

  it('ends a photo that was cancelled while it was counted', async () => {
    const on = await store();
    const runner = await started(on, { threads: 1 });
    const { jobs, photoIds } = await queued(on, 'for ever.jpg', '2.jpg');
    runner.wake();
    await until(async () => (await on.jobs.get(jobs[0]?.id ?? ''))?.state === 'running');
    await on.jobs.cancel(jobs[0]?.id ?? '');
    await until(async () => (await on.jobs.get(jobs[1]?.id ?? ''))?.state === 'done');
    expect(await states(on)).toEqual(['cancelled', 'done']);
    expect(await on.detections.ofPhoto(photoIds[0] ?? '')).toEqual([]);
  });

  it('gives back what it had when it is stopped, and another goes on with it', async () => {
    const folder = newFolder();
    const on = await store(folder);
    const runner = await started(on);
    await queued(on, 'slow 1.jpg', 'slow 2.jpg', 'slow 3.jpg');
    runner.wake();
    await until(async () => (await states(on)).includes('running'));
    await runner.stop();
    expect(await states(on)).not.toContain('running');
    await on.close();
    stores.length = 0;
    const again = await store(folder);
    await (await started(again)).idle();
    expect(await states(again)).toEqual(['done', 'done', 'done']);
  });

  it('keeps its lease while a photo takes longer than that', async () => {
    const on = await store();
    const runner = await started(on, { leaseMs: 300 });
    await queued(on, 'slow.jpg');
    runner.wake();
    await runner.idle();
    expect((await on.jobs.list())[0]).toMatchObject({ state: 'done', attempts: 1 });
  });

  it('does not begin again for ever what brings the whole program down', async () => {
    const on = await store();
    const { jobs } = await queued(on, '1.jpg');
    for (let i = 0; i < 5; i += 1) {
      await on.jobs.claim('somebody', ['count-photo'], 60_000);
      await on.jobs.release('somebody');
    }
    const runner = await started(on);
    await runner.idle();
    expect(await on.jobs.get(jobs[0]?.id ?? '')).toMatchObject({ state: 'failed' });
    expect((await on.jobs.get(jobs[0]?.id ?? ''))?.reason).toContain('begun 5 times');
  });

  it('tells how far a photo is', async () => {
    const on = await store();
    const { jobs } = await queued(on, 'find.jpg');
    const runner = await started(on);
    // half of the time has gone when the larvae are found
    await until(async () => (await on.jobs.get(jobs[0]?.id ?? ''))?.progress === 0.5);
    await runner.idle();
    expect(await on.jobs.get(jobs[0]?.id ?? '')).toMatchObject({ state: 'done', progress: 1 });
  });

  it('counts with the scale of the calibration, and refuses one for other pictures', async () => {
    const on = await store();
    const { fillingId } = await photographed(on);
    const { sha256 } = await on.files.put(Buffer.from('a picture'));
    const { id: microscopeId } = await on.microscopes.add({ name: 'left', note: '', active: true }, SAID);
    const base = { microscopeId, objective: '4x', umPerPx: 1.25, relativeStandardUncertainty: null };
    const when = { measuredOn: 'ruler', measuredAt: '2026-06-01T00:00:00.000Z' };
    const photoIds: string[] = [];
    for (const widthPx of [400, 1600]) {
      const { id: calibrationId } = await on.calibrations.append({ ...base, ...when, widthPx }, SAID);
      const photo = { fillingId, sha256, page: 1, name: '1.jpg', widthPx: null, heightPx: null, takenAt: null };
      photoIds.push((await on.photos.add({ ...photo, calibrationId }, SAID)).id);
    }
    await enqueueCounts(on, photoIds);
    await (await started(on)).idle();
    const [counted] = await on.detections.ofPhoto(photoIds[0] ?? '');
    expect(counted?.count.scale).toMatchObject({ umPerPx: 1.25, source: 'calibration' });
    expect((await on.jobs.list())[1]?.reason).toContain('1600 px as its calibration is for');
  });

  it('refuses a sample that asks for what nobody knows, with the reason', async () => {
    const on = await store();
    const { sampleId, photoId } = await photographed(on);
    await on.samples.change(sampleId, 1, { counting: sample({ counting: { cell: 'bucket' } }).counting }, SAID);
    await enqueueCounts(on, [photoId, 'nothing']);
    await (await started(on)).idle();
    const reasons = (await on.jobs.list()).map(({ reason }) => reason);
    expect(reasons[0]).toContain('Expected cell of the sample to be one of sedgwick-rafter');
    expect(reasons[1]).toContain('Expected the photo to count to be one that is kept');
  });

  it.runIf(process.platform === 'linux')(
    'counts at a low priority, and leaves that of this program alone',
    async () => {
      const before = getPriority();
      const on = await store();
      await queued(on, 'slow.jpg');
      const runner = await started(on);
      const low = constants.priority.PRIORITY_BELOW_NORMAL;
      // every thread of it: the compiler and the decoders too
      await until(() => Promise.resolve(niceOfChildren().some((all) => all.every((nice) => nice === low))));
      expect(await states(on)).toEqual(['running']);
      expect(getPriority()).toBe(before);
      await runner.idle();
    },
  );
});
