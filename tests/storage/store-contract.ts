import { writeFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openForTest, refusal, type Reopen } from './contract-support.js';
import { batch, photographed, sample, SAID } from './examples.js';
import { newFolder } from './new-folder.js';

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

/**
 * What every store must do, whichever database is behind it.
 *
 * @param place gives a new, empty place to keep things and a way to open it
 */
export function storeContract(name: string, place: () => Reopen): void {
  describe(name, () => {
    const opened = openForTest(place);

    describe('records', () => {
      it('come back after a restart as they were, in the order they were added', async () => {
        const reopen = place();
        const first = await reopen();
        const added = [await first.batches.add(batch, SAID), await first.batches.add({ ...batch, name: '1e3' }, SAID)];
        await first.close();
        const store = await opened(reopen);
        expect(await store.batches.list()).toEqual(added);
        expect(added.map((one) => one.name)).toEqual(['007', '1e3']);
        expect(await store.batches.get(added[0]?.id ?? '')).toEqual(added[0]);
        expect(await store.batches.get('nobody')).toBeNull();
      });

      it('are listed as the last one said, whichever program said it', async () => {
        const reopen = place();
        const [one, other] = [await opened(reopen), await opened(reopen)];
        const { id } = await one.batches.add(batch, SAID);
        expect(await other.batches.list()).toEqual(await one.batches.list());
        await other.batches.change(id, 1, { name: '008' }, SAID);
        expect((await one.batches.list()).map(({ name: now, revision }) => [now, revision])).toEqual([['008', 2]]);
      });

      it('keep every version with who, when and why', async () => {
        const times = ['2026-06-01T00:00:00.000Z', '2026-06-02T00:00:00.000Z'];
        let now = times[0] ?? '';
        const store = await opened(place(), { now: () => new Date(now) });
        const { id } = await store.tanks.add(
          { name: '4', volumeMl: null, volumeStandardUncertaintyMl: null, note: '', active: true },
          SAID,
        );
        now = times[1] ?? '';
        const changed = await store.tanks.change(id, 1, { volumeMl: 2.5e6 }, { by: 'Ben', why: 'measured' });
        expect(changed).toMatchObject({ volumeMl: 2.5e6, revision: 2, addedBy: 'Ada', changedBy: 'Ben' });
        expect(await store.tanks.history(id)).toEqual([
          {
            revision: 1,
            by: 'Ada',
            at: times[0],
            why: null,
            fields: expect.objectContaining({ volumeMl: null }) as unknown,
          },
          {
            revision: 2,
            by: 'Ben',
            at: times[1],
            why: 'measured',
            fields: { name: '4', volumeMl: 2.5e6, volumeStandardUncertaintyMl: null, note: '', active: true },
          },
        ]);
      });

      it('refuse a change by who has not seen the last one, and say who made it', async () => {
        const store = await opened();
        const { id } = await store.batches.add(batch, SAID);
        await store.batches.change(id, 1, { note: 'first' }, { by: 'Ben' });
        await expect(store.batches.change(id, 1, { note: 'second' }, SAID)).rejects.toEqual(
          refusal('changed-meanwhile'),
        );
        await expect(store.batches.change(id, 1, { note: 'second' }, SAID)).rejects.toThrow('Ben changed this batch');
        expect((await store.batches.get(id))?.note).toBe('first');
      });

      it('refuse what can not be kept, and keep nothing of it', async () => {
        const store = await opened();
        await expect(store.batches.add({ ...batch, name: ' ' }, SAID)).rejects.toThrow(
          'Expected name of batch to be text that is not empty',
        );
        for (const unwritable of ['half \ud800', 'nul \0']) {
          await expect(store.batches.add({ ...batch, note: unwritable }, SAID)).rejects.toThrow('whole characters');
          await expect(store.batches.add({ ...batch, name: unwritable }, SAID)).rejects.toThrow('whole characters');
        }
        await expect(store.batches.add({ ...batch, spawnedAt: '30 May' }, SAID)).rejects.toThrow('a time in UTC');
        await expect(store.samples.add(sample({ containerVolumeMl: Number.NaN }), SAID)).rejects.toThrow(
          'a number above 0',
        );
        await expect(store.samples.add(sample({ containerVolumeMl: 0 }), SAID)).rejects.toThrow('a number above 0');
        await expect(store.samples.add(sample({ batchId: 'nowhere' }), SAID)).rejects.toEqual(refusal('bad-argument'));
        await expect(store.batches.add({ ...batch, colour: 'red' } as never, SAID)).rejects.toThrow('colour');
        await expect(store.batches.add({ name: 'x' } as never, SAID)).rejects.toThrow(
          'Expected species of batch to be given',
        );
        await expect(store.batches.change('nobody', 1, {}, SAID)).rejects.toEqual(refusal('bad-argument'));
        expect(await store.batches.list()).toEqual([]);
        expect(await store.samples.list()).toEqual([]);
        expect(await store.check()).toEqual([]);
      });
    });

    describe('staff', () => {
      const ada = { name: 'Ada', role: 'manager', passwordHash: 'scrypt$1', active: true } as const;

      it('are found by name in any case, and no two have one name', async () => {
        const store = await opened();
        const kept = await store.staff.add(ada, SAID);
        expect(await store.staff.named(' aDA ')).toEqual(kept);
        await expect(store.staff.add({ ...ada, name: 'ADA' }, SAID)).rejects.toEqual(refusal('bad-argument'));
        const renamed = await store.staff.change(kept.id, 1, { name: 'Åsa' }, SAID);
        expect(await store.staff.named('åsa')).toEqual(renamed);
        expect(await store.staff.named('Ada')).toBeNull();
      });

      it('have no password in their history', async () => {
        const store = await opened();
        const { id } = await store.staff.add(ada, SAID);
        expect(JSON.stringify(await store.staff.history(id))).not.toContain('scrypt');
        expect((await store.staff.get(id))?.passwordHash).toBe('scrypt$1');
      });

      it('are signed in until the end of it, or until they are signed out', async () => {
        let now = '2026-06-01T08:00:00.000Z';
        const store = await opened(place(), { now: () => new Date(now) });
        const who = await store.staff.add(ada, SAID);
        const [one, two] = [sha256('token one'), sha256('token two')];
        await store.signIns.add({ tokenHash: one, staffId: who.id, expiresAt: '2026-06-01T20:00:00.000Z' });
        await store.signIns.add({ tokenHash: two, staffId: who.id, expiresAt: '2026-06-01T12:00:00.000Z' });
        expect((await store.signIns.find(one))?.staff).toEqual(who);
        expect(await store.signIns.find(sha256('no token'))).toBeNull();
        now = '2026-06-01T12:00:00.000Z';
        expect(await store.signIns.find(two)).toBeNull();
        expect(await store.signIns.removeExpired()).toBe(1);
        await store.signIns.extend(one, '2026-06-02T20:00:00.000Z');
        expect((await store.signIns.find(one))?.signIn.expiresAt).toBe('2026-06-02T20:00:00.000Z');
        await store.signIns.removeOf(who.id);
        expect(await store.signIns.find(one)).toBeNull();
      });
    });

    describe('files', () => {
      it('are named by their content and kept once', async () => {
        const store = await opened();
        // FIPS 180-2, appendix B.1: SHA-256 of "abc"
        const abc = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
        const kept = await store.files.put(Buffer.from('abc'));
        expect(kept).toMatchObject({ sha256: abc, bytes: 3 });
        const path = join(newFolder(), 'photo.jpg');
        writeFileSync(path, 'abc');
        expect(await store.files.put({ path })).toEqual(kept);
        expect(Buffer.from(await store.files.read(abc)).toString()).toBe('abc');
        expect((await readFile(await store.files.localPath(abc))).toString()).toBe('abc');
        expect(await store.files.has(abc)).toBe(true);
      });

      it('that are not there are refused', async () => {
        const store = await opened();
        expect(await store.files.has(sha256('x'))).toBe(false);
        await expect(store.files.read(sha256('x'))).rejects.toEqual(refusal('bad-argument'));
        await expect(store.files.read('../../etc/passwd')).rejects.toEqual(refusal('bad-argument'));
        await expect(store.files.put({ path: '/nowhere/x.jpg' })).rejects.toEqual(refusal('store-failed'));
      });
    });

    describe('calibrations, rules and settings', () => {
      it('calibrations are listed by the day they were measured', async () => {
        const store = await opened();
        const { id: microscopeId } = await store.microscopes.add({ name: 'left', note: '', active: true }, SAID);
        const fields = { microscopeId, objective: '4x', relativeStandardUncertainty: 0.004, widthPx: 4000 } as const;
        const late = { ...fields, umPerPx: 1.61, measuredOn: 'ruler, 100 um', measuredAt: '2026-06-02T00:00:00.000Z' };
        const one = await store.calibrations.append(late, SAID);
        const two = await store.calibrations.append({ ...late, measuredAt: '2026-05-02T00:00:00.000Z' }, SAID);
        expect(await store.calibrations.list(microscopeId)).toEqual([two, one]);
        expect(await store.calibrations.get(one.id)).toEqual(one);
        await expect(store.calibrations.append({ ...late, microscopeId: 'x' }, SAID)).rejects.toEqual(
          refusal('bad-argument'),
        );
      });

      it('rules keep every version, and no version twice', async () => {
        const store = await opened();
        const first = { kind: 'stage-rules', name: 'eastern-oyster', version: '1', content: { a: [1, 0.5] } } as const;
        await store.rules.append(first, SAID);
        const second = await store.rules.append({ ...first, version: '2' }, SAID);
        expect(await store.rules.latest('stage-rules', 'eastern-oyster')).toEqual(second);
        expect(await store.rules.latest('species-preset', 'eastern-oyster')).toBeNull();
        expect((await store.rules.list('stage-rules')).map(({ version }) => version)).toEqual(['1', '2']);
        await expect(store.rules.append(first, SAID)).rejects.toEqual(refusal('bad-argument'));
      });

      it('settings keep the last value by key', async () => {
        const store = await opened();
        expect(await store.settings.get('rules-in-use')).toBeNull();
        await store.settings.set('rules-in-use', { 'eastern-oyster': '1' }, SAID);
        await store.settings.set('rules-in-use', { 'eastern-oyster': '2' }, { ...SAID, why: 'better' });
        await store.settings.set('language', 'en', SAID);
        expect(await store.settings.get('rules-in-use')).toEqual({ 'eastern-oyster': '2' });
        expect(await store.settings.all()).toEqual({ 'rules-in-use': { 'eastern-oyster': '2' }, language: 'en' });
      });
    });

    describe('together', () => {
      it('keeps all or nothing, whoever is asked within it', async () => {
        const store = await opened();
        const failed = store.together(async (parts) => {
          await parts.batches.add(batch, SAID);
          await photographed(store);
          throw new Error('changed my mind');
        });
        await expect(failed).rejects.toThrow('changed my mind');
        expect([await store.batches.list(), await store.samples.list()]).toEqual([[], []]);
        const id = await store.together(async (parts) => (await parts.batches.add(batch, SAID)).id);
        expect((await store.batches.list()).map((one) => one.id)).toEqual([id]);
      });

      it('leaves nothing behind of what it saw when it failed, in lists either', async () => {
        const store = await opened();
        const { id } = await store.batches.add(batch, SAID);
        const named = async (): Promise<string[]> => (await store.batches.list()).map((one) => one.name);
        const failed = store.together(async (parts) => {
          await parts.batches.change(id, 1, { name: 'never' }, SAID);
          expect(await named()).toEqual(['never']);
          throw new Error('changed my mind');
        });
        await expect(failed).rejects.toThrow('changed my mind');
        expect(await named()).toEqual(['007']);
        await store.batches.change(id, 1, { name: '008' }, SAID);
        expect(await named()).toEqual(['008']);
      });

      it('is not seen by others until it is over', async () => {
        const store = await opened();
        let seen = -1;
        let look: Promise<void> = Promise.resolve();
        let begun = (): void => undefined;
        const beginning = new Promise<void>((resolve) => {
          begun = resolve;
        });
        const others = beginning.then(() => {
          look = store.batches.list().then((all) => {
            seen = all.length;
          });
        });
        await store.together(async (parts) => {
          await parts.batches.add(batch, SAID);
          begun();
          await new Promise((resolve) => setTimeout(resolve, 20));
          await parts.batches.add(batch, SAID);
        });
        await others;
        await look;
        // who looks meanwhile waits, or sees what was there before
        expect([0, 2]).toContain(seen);
        expect(await store.batches.list()).toHaveLength(2);
      });
    });

    describe('text', () => {
      it('of everywhere comes back as it was, within JSON any', async () => {
        const store = await opened();
        const names = ['Åsa 牡蠣 🦪', 'a\'b"c;--', '=1+1', '\t\r\n\u200b'];
        for (const note of names) await store.batches.add({ ...batch, note }, SAID);
        expect((await store.batches.list()).map(({ note }) => note)).toEqual(names);
        await store.settings.set('odd', { text: 'a\0b \ud800' }, SAID);
        expect(await store.settings.get('odd')).toEqual({ text: 'a\0b \ud800' });
        expect(await store.check()).toEqual([]);
      });

      it('sorts by its bytes, so that times sort by when they were', async () => {
        const store = await opened();
        const taken = ['2026-06-03T09:30:00.000Z', '2026-06-03T09:29:59.999Z', '2025-12-31T23:59:59.999Z'];
        for (const takenAt of taken) await store.samples.add(sample({ takenAt }), SAID);
        expect((await store.samples.overview()).map((one) => one.sample.takenAt)).toEqual(taken.toReversed());
      });
    });

    it('of many who write at once all are kept, numbered without gaps', async () => {
      const store = await opened();
      await Promise.all(Array.from({ length: 25 }, (_, i) => store.batches.add({ ...batch, name: `b${i}` }, SAID)));
      await Promise.all(Array.from({ length: 25 }, (_, i) => store.settings.set('one', i, SAID)));
      expect(await store.batches.list()).toHaveLength(25);
      expect(await store.check()).toEqual([]);
    });

    it('answers a ping, and checks clean when it is new', async () => {
      const store = await opened();
      expect(await store.ping()).toBe(true);
      expect(await store.check()).toEqual([]);
    });
  });
}
