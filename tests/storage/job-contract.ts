import { describe, expect, it } from 'vitest';
import { openForTest, type Reopen } from './contract-support.js';

const MINUTE = 60_000;
const count = (subject: string): { kind: string; subject: string; payload: { n: number } } => ({
  kind: 'count-photo',
  subject,
  payload: { n: 1 },
});

/** What every store's table of jobs must do. */
export function jobContract(name: string, place: () => Reopen): void {
  describe(name, () => {
    const opened = openForTest(place);

    it('gives the job that has waited longest to one worker only', async () => {
      const store = await opened();
      const added = await store.jobs.add([count('a'), count('b'), { ...count('c'), kind: 'other' }]);
      expect(added.map(({ state, progress, attempts }) => [state, progress, attempts])).toEqual(
        Array.from({ length: 3 }, () => ['waiting', 0, 0]),
      );
      const claimed = await Promise.all(['w1', 'w2', 'w3'].map((w) => store.jobs.claim(w, ['count-photo'], MINUTE)));
      // which of three at once is first is chance where each asks on a connection of its own
      expect(claimed.map((job) => job?.subject).toSorted()).toEqual(['a', 'b', undefined]);
      for (const [i, job] of claimed.entries()) {
        if (job !== null) expect(job).toMatchObject({ state: 'running', worker: `w${i + 1}`, attempts: 1 });
      }
      expect((await store.jobs.list({ state: 'waiting' })).map(({ subject }) => subject)).toEqual(['c']);
      expect((await store.jobs.list({ subjects: ['b', 'c'] })).map(({ subject }) => subject)).toEqual(['b', 'c']);
    });

    it('takes progress and the end of a job from who holds it only', async () => {
      const store = await opened();
      const [job] = await store.jobs.add([count('a')]);
      const id = job?.id ?? '';
      await store.jobs.claim('w1', ['count-photo'], MINUTE);
      expect(await store.jobs.progress({ id, attempt: 1 }, 0.4, MINUTE)).toBe(true);
      expect((await store.jobs.get(id))?.progress).toBe(0.4);
      expect(await store.jobs.done({ id, attempt: 2 })).toBe(false);
      expect(await store.jobs.done({ id, attempt: 1 })).toBe(true);
      expect(await store.jobs.get(id)).toMatchObject({ state: 'done', progress: 1 });
      expect(await store.jobs.failed({ id, attempt: 1 }, 'late', false)).toBe(false);
      expect(await store.jobs.cancel(id)).toBe(false);
    });

    it('gives a job to another when its lease has ended, and not before', async () => {
      let now = Date.parse('2026-06-01T08:00:00Z');
      const store = await opened(place(), { now: () => new Date(now) });
      const [job] = await store.jobs.add([count('a')]);
      const id = job?.id ?? '';
      await store.jobs.claim('w1', ['count-photo'], MINUTE);
      now += MINUTE - 1;
      expect(await store.jobs.claim('w2', ['count-photo'], MINUTE)).toBeNull();
      await store.jobs.progress({ id, attempt: 1 }, 0.5, MINUTE);
      now += MINUTE - 1;
      expect(await store.jobs.claim('w2', ['count-photo'], MINUTE)).toBeNull();
      now += 1;
      expect(await store.jobs.claim('w2', ['count-photo'], MINUTE)).toMatchObject({ id, attempts: 2, progress: 0 });
      expect(await store.jobs.done({ id, attempt: 1 })).toBe(false);
    });

    it('does not wait for years when the clock was set back', async () => {
      let now = Date.parse('2036-06-01T08:00:00Z');
      const store = await opened(place(), { now: () => new Date(now) });
      await store.jobs.add([count('a')]);
      await store.jobs.claim('w1', ['count-photo'], MINUTE);
      now = Date.parse('2026-06-01T08:00:00Z');
      expect(await store.jobs.claim('w2', ['count-photo'], MINUTE)).toMatchObject({ attempts: 2 });
    });

    it('keeps the reason of a failure, and takes the job again when asked', async () => {
      const store = await opened();
      const [job] = await store.jobs.add([count('a')]);
      const id = job?.id ?? '';
      await store.jobs.claim('w1', ['count-photo'], MINUTE);
      await store.jobs.failed({ id, attempt: 1 }, 'the worker stopped', true);
      expect(await store.jobs.get(id)).toMatchObject({ state: 'waiting', reason: 'the worker stopped' });
      await store.jobs.claim('w1', ['count-photo'], MINUTE);
      await store.jobs.failed({ id, attempt: 2 }, 'no picture', false);
      expect(await store.jobs.get(id)).toMatchObject({ state: 'failed', reason: 'no picture', worker: null });
      expect(await store.jobs.claim('w1', ['count-photo'], MINUTE)).toBeNull();
      expect(await store.jobs.retry(id)).toBe(true);
      expect(await store.jobs.retry(id)).toBe(false);
      // the first worker's hold is not good for the third attempt
      expect(await store.jobs.claim('w1', ['count-photo'], MINUTE)).toMatchObject({ attempts: 3 });
      expect(await store.jobs.done({ id, attempt: 1 })).toBe(false);
    });

    it('cancels waiting and running jobs', async () => {
      const store = await opened();
      const [a, b] = await store.jobs.add([count('a'), count('b')]);
      await store.jobs.claim('w1', ['count-photo'], MINUTE);
      expect(await store.jobs.cancel(a?.id ?? '')).toBe(true);
      expect(await store.jobs.cancel(b?.id ?? '')).toBe(true);
      expect(await store.jobs.done({ id: a?.id ?? '', attempt: 1 })).toBe(false);
      expect(await store.jobs.claim('w1', ['count-photo'], MINUTE)).toBeNull();
      expect((await store.jobs.list()).map(({ state }) => state)).toEqual(['cancelled', 'cancelled']);
    });

    it('survives a restart, which gives back what the same worker held', async () => {
      const reopen = place();
      const first = await reopen();
      await first.jobs.add([count('a'), count('b')]);
      await first.jobs.claim('here', ['count-photo'], MINUTE);
      await first.jobs.claim('elsewhere', ['count-photo'], MINUTE);
      await first.close();
      const store = await opened(reopen);
      expect(await store.jobs.release('here')).toBe(1);
      expect((await store.jobs.claim('here', ['count-photo'], MINUTE))?.subject).toBe('a');
      expect(await store.jobs.claim('here', ['count-photo'], MINUTE)).toBeNull();
    });
  });
}
