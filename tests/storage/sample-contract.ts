import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { countOf } from './count-example.js';
import { batch, decision, photographed, sample, SAID } from './examples.js';
import { openForTest, refusal, type Reopen } from './contract-support.js';

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

/** What every store must do with samples, photos and what is said of them. */
export function sampleContract(name: string, place: () => Reopen): void {
  describe(name, () => {
    const opened = openForTest(place);

    describe('detections', () => {
      it('come back as they were; the last of a photo is in force', async () => {
        const store = await opened();
        const { photoId, sampleId } = await photographed(store);
        const first = await store.detections.add({ photoId, count: countOf(photoId) }, { by: 'count' });
        const second = await store.detections.add({ photoId, count: countOf(photoId, 5, '2') }, { by: 'count' });
        expect((await store.detections.get(first.id))?.count).toEqual(countOf(photoId));
        expect(await store.detections.ofPhoto(photoId)).toEqual([first, second]);
        expect(await store.detections.ofSample(sampleId)).toEqual([second]);
      });

      it('of the same photo once more change nothing, so that a job may be done twice', async () => {
        const store = await opened();
        const { photoId } = await photographed(store);
        const first = await store.detections.add({ photoId, count: countOf(photoId) }, { by: 'count' });
        const { detections, ...rest } = countOf(photoId);
        const again = await store.detections.add({ photoId, count: { detections, ...rest } }, { by: 'somebody else' });
        expect(again).toEqual(first);
        expect(await store.detections.ofPhoto(photoId)).toHaveLength(1);
      });

      it('must say which photo they are of', async () => {
        const store = await opened();
        const { photoId } = await photographed(store);
        await expect(store.detections.add({ photoId, count: countOf('IMG_1.jpg') }, SAID)).rejects.toThrow(
          'Expected the photo in a count',
        );
        await expect(store.detections.add({ photoId: 'x', count: countOf('x') }, SAID)).rejects.toEqual(
          refusal('bad-argument'),
        );
      });
    });

    describe('decisions', () => {
      it('are numbered without gaps, and those of who was slower are answered with what came first', async () => {
        const store = await opened();
        const { photoId, sampleId } = await photographed(store);
        const two = [decision('a', photoId), decision('b', null)];
        expect(await store.decisions.append(sampleId, 0, two)).toMatchObject({ kind: 'appended', last: 2 });
        const slower = await store.decisions.append(sampleId, 1, [decision('c', photoId, 'Ben')]);
        expect(slower).toMatchObject({ kind: 'conflict', last: 2, newer: [{ id: 'b', order: 2 }] });
        expect(await store.decisions.append(sampleId, 2, [decision('c', photoId, 'Ben')])).toMatchObject({ last: 3 });
        const all = await store.decisions.ofSample(sampleId);
        expect(all.map(({ id, order, by }) => [id, order, by])).toEqual([
          ['a', 1, 'Ada'],
          ['b', 2, 'Ada'],
          ['c', 3, 'Ben'],
        ]);
        expect(all[0]).toMatchObject(decision('a', photoId));
        expect((await store.decisions.ofSample(sampleId, 2)).map(({ id }) => id)).toEqual(['c']);
      });

      it('sent again because the answer was lost are kept once', async () => {
        const store = await opened();
        const { photoId, sampleId } = await photographed(store);
        const sent = [decision('a', photoId), decision('b', photoId)];
        const first = await store.decisions.append(sampleId, 0, sent);
        await store.decisions.append(sampleId, 2, [decision('c', photoId, 'Ben')]);
        const again = await store.decisions.append(sampleId, 0, sent);
        expect(again).toMatchObject({ kind: 'appended', last: 3 });
        expect('entries' in again && again.entries).toEqual('entries' in first && first.entries);
        expect(await store.decisions.ofSample(sampleId)).toHaveLength(3);
        const other = { ...decision('a', photoId), payload: { kind: 'remove' } };
        await expect(store.decisions.append(sampleId, 0, [other])).rejects.toEqual(refusal('bad-argument'));
      });

      it('are all kept or none, and name photos of their sample only', async () => {
        const store = await opened();
        const { photoId, sampleId } = await photographed(store);
        const elsewhere = await photographed(store);
        const mixed = [decision('a', photoId), decision('b', elsewhere.photoId)];
        await expect(store.decisions.append(sampleId, 0, mixed)).rejects.toEqual(refusal('bad-argument'));
        await expect(store.decisions.append(sampleId, 7, [decision('a', photoId)])).rejects.toThrow('0 or less');
        expect(await store.decisions.ofSample(sampleId)).toEqual([]);
      });

      it('of two at once: one is kept, the other learns of it', async () => {
        const store = await opened();
        const { photoId, sampleId } = await photographed(store);
        const answers = await Promise.all(
          ['a', 'b', 'c'].map((id) => store.decisions.append(sampleId, 0, [decision(id, photoId)])),
        );
        expect(answers.map(({ kind }) => kind).toSorted()).toEqual(['appended', 'conflict', 'conflict']);
      });
    });

    describe('sign-offs and estimates', () => {
      it('rest on the last decision and on the counts in force', async () => {
        const store = await opened();
        const { photoId, sampleId } = await photographed(store);
        const counted = await store.detections.add({ photoId, count: countOf(photoId) }, { by: 'count' });
        await store.decisions.append(sampleId, 0, [decision('a', photoId)]);
        const fields = {
          sampleId,
          photoId: null,
          kind: 'signed',
          decisions: 0,
          detections: { [photoId]: counted.id },
          payload: { by: 'Ada', photos: [] },
        } as const;
        await expect(store.signOffs.append(fields, SAID)).rejects.toEqual(refusal('changed-meanwhile'));
        const signed = await store.signOffs.append({ ...fields, decisions: 1 }, SAID);
        expect(signed).toMatchObject({ ...fields, decisions: 1, by: 'Ada', order: 1, why: null });
        await store.detections.add({ photoId, count: countOf(photoId, 3, '2') }, { by: 'count' });
        await expect(store.signOffs.append({ ...fields, decisions: 1 }, SAID)).rejects.toThrow('counted anew');
        expect(await store.signOffs.ofSample(sampleId)).toEqual([signed]);
      });

      it('estimates rest on a signed-off count of the same sample', async () => {
        const store = await opened();
        const { sampleId, photoId } = await photographed(store);
        const other = await photographed(store);
        const base = { sampleId, kind: 'signed', decisions: 0, detections: {}, payload: {} } as const;
        const whole = await store.signOffs.append({ ...base, photoId: null }, SAID);
        const onePhoto = await store.signOffs.append({ ...base, photoId }, SAID);
        const fields = { sampleId, kind: 'count', question: { a: 1 }, answer: { total: 1234.5 }, program: '0.1.0' };
        const kept = await store.estimates.append({ ...fields, signOffId: whole.id }, SAID);
        expect(await store.estimates.ofSample(sampleId)).toEqual([kept]);
        expect(kept.answer).toEqual({ total: 1234.5 });
        const wrong = [
          { ...fields, signOffId: onePhoto.id },
          { ...fields, signOffId: 'none' },
          { ...fields, sampleId: other.sampleId, signOffId: whole.id },
        ];
        for (const one of wrong)
          await expect(store.estimates.append(one, SAID)).rejects.toEqual(refusal('bad-argument'));
      });
    });

    describe('samples', () => {
      it('open with all that belongs to them', async () => {
        const store = await opened();
        const { sampleId, fillingId, photoId } = await photographed(store);
        await photographed(store);
        const counted = await store.detections.add({ photoId, count: countOf(photoId) }, { by: 'count' });
        await store.decisions.append(sampleId, 0, [decision('a', photoId)]);
        const all = await store.samples.open(sampleId);
        expect(all?.sample.id).toBe(sampleId);
        expect(all?.fillings.map(({ id }) => id)).toEqual([fillingId]);
        expect(all?.photos.map(({ id, sha256: file }) => [id, file])).toEqual([[photoId, sha256('a picture')]]);
        expect(all?.detections).toEqual([counted]);
        expect(all?.decisions.map(({ id }) => id)).toEqual(['a']);
        expect([all?.signOffs, all?.estimates]).toEqual([[], []]);
        expect(await store.samples.open('nobody')).toBeNull();
      });

      it('are listed by time with their figures, of a batch or of all', async () => {
        const store = await opened();
        const { id: batchId } = await store.batches.add(batch, SAID);
        const { sampleId, photoId, fillingId } = await photographed(store);
        const { sha256: file } = await store.files.put(Buffer.from('another picture'));
        const second = { fillingId, sha256: file, page: 1, name: '2.jpg', widthPx: null, heightPx: null } as const;
        await store.photos.add({ ...second, takenAt: null, calibrationId: null }, SAID);
        await store.samples.change(sampleId, 1, { batchId }, SAID);
        const early = await store.samples.add(sample({ takenAt: '2026-06-01T00:00:00.000Z', batchId }), SAID);
        const elsewhere = await store.samples.add(sample({ takenAt: '2026-06-02T00:00:00.000Z' }), SAID);
        await store.detections.add({ photoId, count: countOf(photoId, 9) }, { by: 'count' });
        await store.detections.add({ photoId, count: countOf(photoId, 4, '2') }, { by: 'count' });
        await store.decisions.append(sampleId, 0, [decision('a', photoId), decision('b', null)]);
        const signing = { sampleId, kind: 'signed', decisions: 2, detections: {}, payload: { large: true } } as const;
        const signed = await store.signOffs.append({ ...signing, photoId: null }, SAID);
        await store.signOffs.append({ ...signing, photoId }, SAID);
        const figures = { sampleId, signOffId: signed.id, question: {}, program: '0.1.0' };
        for (const total of [1, 2])
          await store.estimates.append({ ...figures, kind: 'count', answer: { total } }, SAID);
        await store.estimates.append({ ...figures, kind: 'share', answer: { share: 0.5 } }, SAID);

        const history = await store.samples.overview({ batchId });
        expect(history.map((one) => one.sample.id)).toEqual([early.id, sampleId]);
        // one of the four lies outside the counted area
        expect(history[1]).toMatchObject({ photos: 2, countedPhotos: 1, counted: 3, lastDecision: 2 });
        expect(history[1]?.signOff?.id).toBe(signed.id);
        expect(history[1]?.estimates.map(({ kind, answer }) => [kind, answer])).toEqual([
          ['count', { total: 2 }],
          ['share', { share: 0.5 }],
        ]);
        expect(history[0]).toMatchObject({ photos: 0, countedPhotos: 0, counted: 0, lastDecision: 0, signOff: null });
        expect((await store.samples.overview()).map((one) => one.sample.id)).toEqual([
          early.id,
          elsewhere.id,
          sampleId,
        ]);
      });

      it('say what stands of them as the long list does: the last sign-off, and the last count', async () => {
        const store = await opened();
        const { sampleId } = await photographed(store);
        const early = await store.samples.add(sample({ takenAt: '2026-06-01T00:00:00.000Z' }), SAID);
        const signing = { sampleId, photoId: null, decisions: 0, detections: {}, payload: null } as const;
        const estimateOf = async (total: number): Promise<void> => {
          const { id: signOffId } = await store.signOffs.append({ ...signing, kind: 'signed' }, SAID);
          const figures = { sampleId, signOffId, question: {}, program: '0.1.0' };
          await store.estimates.append({ ...figures, kind: 'count', answer: { total } }, SAID);
          await store.estimates.append({ ...figures, kind: 'share', answer: {} }, SAID);
        };
        const said = async (): Promise<unknown[]> =>
          (await store.samples.standing()).map((one) => [
            one.sample.id,
            one.signOff?.kind ?? null,
            one.estimates.map(({ answer }) => answer),
          ]);
        expect(await said()).toEqual([
          [early.id, null, []],
          [sampleId, null, []],
        ]);
        await estimateOf(1);
        expect((await said())[1]).toEqual([sampleId, 'signed', [{ total: 1 }]]);
        await store.signOffs.append({ ...signing, kind: 'taken-back' }, { ...SAID, why: 'a slip' });
        expect((await said())[1]).toEqual([sampleId, 'taken-back', [{ total: 1 }]]);
        await store.together(async () => {
          await estimateOf(2);
          expect((await said())[1]).toEqual([sampleId, 'signed', [{ total: 2 }]]);
        });
        const [, last] = await store.samples.standing();
        const [, long] = await store.samples.overview();
        expect(last?.signOff).toEqual(long?.signOff);
        expect(last?.estimates).toEqual(long?.estimates.filter(({ kind }) => kind === 'count'));
        expect(await store.samples.standing({ tankId: 'nowhere' })).toEqual([]);
      });
    });
  });
}
