import { figuresView, keepPlan, ownFiguresOf, planStanding, setOwnFigure, tryPlan } from '@veligrid/season';
import { openStore, type Store } from '@veligrid/storage';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sample, SAID } from '../storage/examples.js';
import { newFolder } from '../storage/new-folder.js';

let store: Store;
beforeEach(async () => {
  store = await openStore(newFolder());
});
afterEach(() => store.close());

const SPECIES = 'eastern-oyster';
const UMBO = 'stocking.umbo.per-ml';
const set = (name: string, value: number | null, changes: number, why = 'counted in May'): Promise<void> =>
  setOwnFigure(store, 'Ada', { species: SPECIES, name, value, why, changes });
const viewOf = async (name: string): Promise<Awaited<ReturnType<typeof figuresView>>[number] | undefined> =>
  (await figuresView(store, SPECIES)).find(({ figure }) => figure.name === name);

describe("a hatchery's own figures", () => {
  it('stand over the shipped ones, which stay in sight, with who, when and why', async () => {
    await set(UMBO, 6, 0);
    expect(await viewOf(UMBO)).toMatchObject({
      own: true,
      figure: { value: 6, unit: 'larvae per mL', source: 'counted in May', confidence: 'own', version: '1' },
      shipped: { value: 4, confidence: 'from memory' },
      changes: [{ value: 6, by: 'Ada', why: 'counted in May' }],
    });
    expect((await viewOf('stocking.eyed.per-ml'))?.own).toBe(false);
    expect(await ownFiguresOf(store, 'pacific-oyster')).toBeNull();
  });

  it('go back to the shipped one, and every version stays', async () => {
    await set(UMBO, 6, 0);
    await set('setting.spat-per-shell', 12, 0);
    await set(UMBO, null, 1, 'was a slip');
    expect(await viewOf(UMBO)).toMatchObject({
      own: false,
      figure: { value: 4 },
      changes: [{ value: 6 }, { value: null, why: 'was a slip' }],
    });
    expect((await viewOf('setting.spat-per-shell'))?.figure.value).toBe(12);
    expect((await store.rules.list('species-preset')).map(({ version }) => version)).toEqual(['1', '2', '3']);
  });

  it('are refused when somebody was faster, or the figure can not be', async () => {
    await set(UMBO, 6, 0);
    await expect(set(UMBO, 7, 0)).rejects.toThrow('Ada changed this figure in the meantime');
    await expect(set('stocking.ubmo.per-ml', 6, 0)).rejects.toThrow('There is no figure stocking.ubmo.per-ml');
    await expect(set('growth.slow', 6, 0)).rejects.toThrow('has to be points');
    await expect(set('setting.length-um', null, 0)).rejects.toThrow('a figure that was changed');
    await expect(
      setOwnFigure(store, 'Ada', { species: 'blue-mussel', name: UMBO, value: 1, why: 'x', changes: 0 }),
    ).rejects.toThrow('one of eastern-oyster, hard-clam, pacific-oyster');
    expect((await viewOf(UMBO))?.figure.value).toBe(6);
  });

  it('may name an alga of the house, in the unit of the others', async () => {
    await set('algae.house-brown.organic-weight-pg', 25, 0, 'dried and weighed');
    expect(await viewOf('algae.house-brown.organic-weight-pg')).toMatchObject({
      figure: { unit: 'pg per cell', value: 25 },
      shipped: null,
    });
  });
});

const STOCKING = { kind: 'stocking', stage: 'umbo', tanks: [{ name: 'T', volumeMl: 1e6, larvae: 5e6 }] };

describe('a plan', () => {
  it('takes figures changed for it alone over own ones, and changes nothing else', async () => {
    await set(UMBO, 6, 0);
    const changed = [{ name: UMBO, value: 2, why: 'warm week' }];
    const { answer, figures, ...tried } = await tryPlan(store, { question: STOCKING, changed });
    expect(answer).toMatchObject({ perMl: 2 });
    expect(figures).toBe('common 1, eastern-oyster 1, own figures 1');
    expect(tried.changed).toMatchObject([{ name: UMBO, value: 2, source: 'warm week', preset: 'this plan' }]);
    expect((await tryPlan(store, { question: STOCKING })).answer).toMatchObject({ perMl: 6 });
    expect(await store.plans.list()).toEqual([]);
  });

  it('is kept only for a count that is signed off, and says when that was reopened or signed anew', async () => {
    const { id: sampleId } = await store.samples.add(sample(), SAID);
    const whole = { sampleId, photoId: null, decisions: 0, detections: {}, payload: null } as const;
    const keep = (signOffId?: string): ReturnType<typeof keepPlan> =>
      keepPlan(store, { question: STOCKING, sampleId, by: 'Ada', program: '1', ...(signOffId && { signOffId }) });
    await expect(keep()).rejects.toThrow('is not signed off');
    const first = await store.signOffs.append({ ...whole, kind: 'signed' }, SAID);
    const plan = await keep(first.id);
    const standing = async (): Promise<string> => planStanding(plan, await store.signOffs.ofSample(sampleId));
    expect(await standing()).toBe('stands');
    await store.signOffs.append({ ...whole, kind: 'taken-back' }, { by: 'Ben', why: 'one missed' });
    expect(await standing()).toBe('reopened');
    await store.signOffs.append({ ...whole, kind: 'signed' }, SAID);
    expect(await standing()).toBe('signed-anew');
    await expect(keep(first.id)).rejects.toThrow('signed off anew since you looked');
  });
});
