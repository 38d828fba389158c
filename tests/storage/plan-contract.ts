import type { PlanFields, Store } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { openForTest, refusal, type Reopen } from './contract-support.js';
import { sample, SAID } from './examples.js';
import { beginSeason } from './season-examples.js';

/** A plan that rests on nothing, or what is made of it. */
export const planned = (fields: Partial<PlanFields> = {}): PlanFields => ({
  kind: 'stocking',
  question: { kind: 'stocking', stage: 'umbo', tanks: [{ name: '007', volumeMl: 1e6, larvae: 1 / 3 }] },
  answer: { kind: 'stocking', warnings: [], note: '=1+1 "x"' },
  figures: 'common 1, eastern-oyster 1',
  ownFiguresId: null,
  changedFigures: [],
  sampleId: null,
  signOffId: null,
  batchId: null,
  tankId: null,
  program: '0.1.0',
  ...fields,
});

/** A sample with its whole count signed off. */
async function signedSample(store: Store): Promise<{ readonly sampleId: string; readonly signOffId: string }> {
  const { id: sampleId } = await store.samples.add(sample(), SAID);
  const { id: signOffId } = await store.signOffs.append(
    { sampleId, photoId: null, kind: 'signed', decisions: 0, detections: {}, payload: null },
    SAID,
  );
  return { sampleId, signOffId };
}

/** What every store must do with plans. */
export function planContract(name: string, place: () => Reopen): void {
  describe(name, () => {
    const opened = openForTest(place);

    it('come back as they were kept after the store is opened again, with who and why', async () => {
      const reopen = place();
      const store = await opened(reopen);
      const signed = await signedSample(store);
      const { batchId, tankId } = await beginSeason(store);
      const { id: ownFiguresId } = await store.rules.append(
        { kind: 'species-preset', name: 'eastern-oyster', version: '1', content: {} },
        SAID,
      );
      const fields = planned({ ...signed, batchId, tankId, ownFiguresId, changedFigures: [{ name: 'a', value: 1 }] });
      const kept = await store.plans.append(fields, { ...SAID, why: 'room for the next batch' });
      expect(kept).toMatchObject({ ...fields, by: 'Ada', why: 'room for the next batch' });
      const again = await opened(reopen);
      expect(await again.plans.get(kept.id)).toEqual(kept);
      expect(await again.plans.list()).toEqual([kept]);
      expect(await again.check()).toEqual([]);
    });

    it('are listed by sample, batch and tank, oldest first', async () => {
      const store = await opened();
      const { sampleId, signOffId } = await signedSample(store);
      const { batchId, tankId, otherTankId } = await beginSeason(store);
      const { id: a } = await store.plans.append(planned({ sampleId, signOffId, tankId }), SAID);
      const { id: b } = await store.plans.append(planned({ batchId, tankId }), SAID);
      const { id: c } = await store.plans.append(planned({ batchId, tankId: otherTankId }), SAID);
      const listed = async (choice?: Parameters<Store['plans']['list']>[0]): Promise<string[]> =>
        (await store.plans.list(choice)).map(({ id }) => id);
      expect(await listed()).toEqual([a, b, c]);
      expect(await listed({ sampleId })).toEqual([a]);
      expect(await listed({ batchId })).toEqual([b, c]);
      expect(await listed({ tankId })).toEqual([a, b]);
      expect(await listed({ batchId, tankId: otherTankId })).toEqual([c]);
      expect([await store.plans.get('none'), await listed({ batchId: 'none' })]).toEqual([null, []]);
    });

    it('name only what is there, and rest only on the whole count of their own sample', async () => {
      const store = await opened();
      const { sampleId, signOffId } = await signedSample(store);
      const other = await signedSample(store);
      const { id: back } = await store.signOffs.append(
        { sampleId, photoId: null, kind: 'taken-back', decisions: 0, detections: {}, payload: null },
        SAID,
      );
      const wrong: Partial<PlanFields>[] = [
        { batchId: 'none' },
        { tankId: 'none' },
        { sampleId: 'none' },
        { ownFiguresId: 'none' },
        { sampleId: other.sampleId, signOffId },
        { signOffId },
        { sampleId, signOffId: back },
      ];
      for (const fields of wrong) {
        await expect(store.plans.append(planned(fields), SAID)).rejects.toEqual(refusal('bad-argument'));
      }
      await expect(store.plans.append(planned({ kind: '' }), SAID)).rejects.toThrow('kind of plan');
      expect(await store.plans.list()).toEqual([]);
    });
  });
}
