import { describe, expect, it } from 'vitest';
import { openForTest, refusal, type Reopen } from './contract-support.js';
import { sample, SAID } from './examples.js';
import { AT, beginSeason, moved, wholeSeason } from './season-examples.js';

const LATER = '2026-06-02T08:00:00.000Z';

/** What every store must do with the record of a season. */
export function seasonContract(name: string, place: () => Reopen): void {
  describe(name, () => {
    const opened = openForTest(place);

    it('comes back as it was said after the store is opened again', async () => {
      const reopen = place();
      const store = await opened(reopen);
      const { spawnId, damId, sireId, crossId, batchId, tankId } = await wholeSeason(store);
      const again = await opened(reopen);
      expect(await again.broodstock.list()).toMatchObject([
        { id: damId, name: '1-15 dam', sex: 'female', line: 'R', selectedFor: 'growth', revision: 1 },
        { id: sireId, sex: 'unknown' },
      ]);
      expect(await again.spawns.list()).toMatchObject([
        { id: spawnId, name: '1-15', ambientC: 19.5, raisedC: 27, endedAt: null, version: 1, by: 'Ada', why: null },
      ]);
      expect(await again.spawnResults.list()).toMatchObject([{ animalId: damId, outcome: 'spawned', gameteMl: 250 }]);
      expect(await again.crosses.list()).toMatchObject([
        { id: crossId, dams: [damId], sires: [sireId], pooledSperm: false, eggs: 2e6, sperm: null },
      ]);
      expect(await again.origins.list()).toMatchObject([{ batchId, crossId, eggs: 2e6 }]);
      expect(await again.moves.list()).toMatchObject([
        { kind: 'stock', toTankId: tankId, number: 1e6, low: 9e5, high: 1.1e6, emptied: false, screenUm: null },
      ]);
      expect(await again.cultureReadings.list()).toMatchObject([
        { litres: 200, cellsPerMl: 5e6, tally: { cells: 450, volumeMl: 0.0009, steps: [{ takenMl: 1 }] } },
      ]);
      expect(await again.rations.list()).toMatchObject([{ tankId, litres: 3.5, cellsPerMl: null }]);
      expect(await again.waterNotes.list()).toMatchObject([{ tankId: null, temperatureC: 26.4, oxygenMgL: 0 }]);
      expect(await again.settingEvents.list()).toMatchObject([{ larvae: 1000, shells: 100, bags: null }]);
      expect(await again.spatCounts.list()).toMatchObject([{ shells: 10, spat: 0 }]);
      expect(await again.check()).toEqual([]);
    });

    it('a correction stands in for what was said, and what was said stays', async () => {
      const store = await opened();
      const example = await beginSeason(store);
      const { id } = await store.moves.append(moved(example), SAID);
      await store.moves.append(moved(example, { kind: 'cull', fromTankId: example.tankId, toTankId: null }), SAID);
      const corrected = await store.moves.correct(
        id,
        1,
        { number: 5e5, low: null, high: null },
        { by: 'Ben', why: 'slip' },
      );
      expect(corrected).toMatchObject({
        id,
        version: 2,
        number: 5e5,
        low: null,
        by: 'Ben',
        why: 'slip',
        kind: 'stock',
      });
      expect(await store.moves.get(id)).toEqual(corrected);
      expect((await store.moves.list()).map((one) => [one.kind, one.number])).toEqual([
        ['stock', 5e5],
        ['cull', 1e6],
      ]);
      expect((await store.moves.versions(id)).map((one) => [one.version, one.number, one.by, one.withdrawn])).toEqual([
        [1, 1e6, 'Ada', false],
        [2, 5e5, 'Ben', false],
      ]);
    });

    it('what never happened is taken back, and stands again when it is said anew', async () => {
      const store = await opened();
      const example = await beginSeason(store);
      const { id } = await store.moves.append(moved(example), SAID);
      await store.moves.withdraw(id, 1, { by: 'Ben', why: 'another tank' });
      expect([await store.moves.list(), await store.moves.get(id)]).toEqual([[], null]);
      expect((await store.moves.versions(id)).at(-1)).toMatchObject({
        withdrawn: true,
        by: 'Ben',
        why: 'another tank',
      });
      await store.moves.correct(id, 2, { toTankId: example.otherTankId }, SAID);
      expect((await store.moves.list()).map(({ toTankId }) => toTankId)).toEqual([example.otherTankId]);
      expect(await store.check()).toEqual([]);
    });

    it('refuses to correct what somebody else corrected meanwhile, and what is not there', async () => {
      const store = await opened();
      const example = await beginSeason(store);
      const { id } = await store.moves.append(moved(example), SAID);
      await store.moves.correct(id, 1, { number: 1e6 + 1 }, { by: 'Ben' });
      await expect(store.moves.correct(id, 1, { number: 1e6 + 2 }, SAID)).rejects.toEqual(refusal('changed-meanwhile'));
      await expect(store.moves.withdraw(id, 1, SAID)).rejects.toThrow('Ben corrected this move in the meantime');
      await expect(store.moves.correct('none', 1, {}, SAID)).rejects.toEqual(refusal('bad-argument'));
      expect((await store.moves.versions(id)).length).toBe(2);
      expect(await store.moves.versions('none')).toEqual([]);
    });

    it('is listed by the time it happened, then as it was said', async () => {
      const store = await opened();
      const example = await beginSeason(store);
      for (const [happenedAt, number] of [
        [LATER, 1],
        [AT, 2],
        [LATER, 3],
      ] as const) {
        await store.moves.append(moved(example, { happenedAt, number, low: null, high: null }), SAID);
      }
      expect((await store.moves.list()).map(({ number }) => number)).toEqual([2, 1, 3]);
    });

    it('names only what is there', async () => {
      const store = await opened();
      const example = await beginSeason(store);
      const { id: sampleId } = await store.samples.add(sample(), SAID);
      const origin = { batchId: example.batchId, crossId: 'none', happenedAt: AT, eggs: 1, note: '' };
      const wrong = [
        () => store.moves.append(moved(example, { toTankId: 'none' }), SAID),
        () => store.moves.append(moved(example, { batchId: 'none' }), SAID),
        () => store.moves.append(moved(example, { sampleId: 'none' }), SAID),
        () => store.origins.append(origin, SAID),
      ];
      for (const one of wrong) await expect(one()).rejects.toEqual(refusal('bad-argument'));
      const [cross] = await store.crosses.list();
      const { spawnId, happenedAt, pooledSperm, eggs, sperm, note, sires } = cross ?? (undefined as never);
      const fields = { spawnId, happenedAt, pooledSperm, eggs, sperm, note, name: 'x' };
      await expect(store.crosses.append({ ...fields, sires, dams: ['none'] }, SAID)).rejects.toThrow(
        'an animal that is kept',
      );
      await expect(store.crosses.append({ ...fields, sires, dams: [] }, SAID)).rejects.toThrow('a dam and a sire');
      expect(await store.moves.list()).toEqual([]);
      await store.moves.append(moved(example, { sampleId }), SAID);
    });

    it('refuses what can not be kept, and keeps nothing of it', async () => {
      const store = await opened();
      const example = await beginSeason(store);
      const cases: [Partial<ReturnType<typeof moved>>, string][] = [
        [{ number: -1, low: null, high: null }, 'Expected number of move to be a number of 0 or more'],
        [{ happenedAt: '1 June' }, 'a time in UTC'],
        [{ kind: 'swap' as 'split' }, 'one of stock, split'],
        [{ low: null }, 'both or none, around the number'],
        [{ low: 2e6, high: 3e6 }, 'both or none, around the number'],
        [{ colour: 'red' } as never, 'colour'],
        [{ place: undefined as never }, 'Expected place of move to be given'],
      ];
      for (const [fields, words] of cases) {
        await expect(store.moves.append(moved(example, fields), SAID)).rejects.toThrow(words);
      }
      const result = {
        spawnId: example.spawnId,
        animalId: example.damId,
        happenedAt: AT,
        note: '',
        gametes: null,
      } as const;
      const burst = { ...result, outcome: 'burst' as 'spawned', sex: 'female' as const, gameteMl: 1 };
      await expect(store.spawnResults.append(burst, SAID)).rejects.toThrow('one of spawned, stripped');
      const { settingId } = await store.together(async (parts) => {
        const setting = { batchId: example.batchId, moveId: null, happenedAt: AT, larvae: 1, cultch: 'x', note: '' };
        const { id } = await parts.settingEvents.append({ ...setting, shells: null, bags: null }, SAID);
        return { settingId: id };
      });
      const spat = { settingId, happenedAt: AT, shells: 0, spat: 1, note: '' };
      await expect(store.spatCounts.append(spat, SAID)).rejects.toThrow('a whole number of 1 or more');
      expect([await store.moves.list(), await store.spawnResults.list(), await store.spatCounts.list()]).toEqual([
        [],
        [],
        [],
      ]);
    });

    it('of two who say something at once both are kept', async () => {
      const store = await opened();
      const example = await beginSeason(store);
      await Promise.all(
        [1, 2, 3].map((number) => store.moves.append(moved(example, { number, low: null, high: null }), SAID)),
      );
      expect((await store.moves.list()).map(({ number }) => number).toSorted()).toEqual([1, 2, 3]);
      expect(await store.check()).toEqual([]);
    });
  });
}
