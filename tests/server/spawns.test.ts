import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  BASE,
  type Animal,
  type CrossJudged,
  type SettingOfBatch,
  type SpawnLine,
  type SpawnView,
  type StandingEntry,
} from '@veligrid/api';
import { startTestServer, type TestServer } from './support.ts';

let at: TestServer;
let spawnId = '';
let animals = new Map<string, string>();
const cookie = 'veligrid-name=Ana';

const enter = (kind: string, fields: Record<string, string>) =>
  at.send('POST', `${BASE}/entries/${kind}`, { cookie, json: { fields } });

async function entered(kind: string, fields: Record<string, string>): Promise<string> {
  const answer = await enter(kind, fields);
  if (answer.status !== 201) throw new Error(`${kind}: ${answer.text}`);
  return (answer.json as { id: string }).id;
}

async function look<T>(path: string): Promise<T> {
  const answer = await at.send('GET', BASE + path, { cookie });
  expect(answer.status, answer.text).toBe(200);
  return answer.json as T;
}

const ids = (...tags: string[]): string[] => tags.map((tag) => animals.get(tag) ?? '');

async function judged(dams: string[], sires: string[]): Promise<CrossJudged> {
  const json = { dams: ids(...dams), sires: ids(...sires) };
  const answer = await at.send('POST', `${BASE}/spawns/${spawnId}/try-cross`, { cookie, json });
  expect(answer.status, answer.text).toBe(200);
  return answer.json as CrossJudged;
}

beforeAll(async () => {
  at = await startTestServer();
  await entered('animal', { animal: 'N-01', line: 'North', sex: 'female', dam: 'G-1', sire: 'G-2' });
  await entered('animal', { animal: 'N-02', line: 'North', dam: 'g-1', sire: 'G-3' });
  await entered('animal', { animal: 'N-03', line: 'North', dam: 'G-1', sire: 'G-2' });
  await entered('animal', { animal: 'E-17', line: 'East' });
  spawnId = await entered('spawn', { spawn: 'Spawn 1', at: '2026-05-04T07:00Z', raised_c: '28', cue: 'warmed' });
  const result = { spawn: 'Spawn 1', at: '2026-05-04T08:00Z' };
  await entered('spawn-result', { ...result, animal: 'N-01', sex: 'female', gamete_ml: '450', gametes: '6200000' });
  await entered('spawn-result', { ...result, animal: 'N-02', sex: 'female', gamete_ml: '380', gametes: '4100000' });
  await entered('spawn-result', { ...result, animal: 'E-17', sex: 'male', gamete_ml: '30' });
  await entered('spawn-result', { ...result, animal: 'N-03', sex: 'male', gamete_ml: '12' });
  const list = await look<{ animals: Animal[] }>('/animals');
  animals = new Map(list.animals.map(({ id, name }) => [name, id]));
});
afterAll(() => at.close());

describe('animals', () => {
  it('have parents, the sex they showed, and the spawns they gave to', async () => {
    const { animals: all } = await look<{ animals: Animal[] }>('/animals');
    expect(all.map(({ name, sex }) => [name, sex])).toEqual([
      ['E-17', 'male'],
      ['N-01', 'female'],
      ['N-02', 'female'],
      ['N-03', 'male'],
    ]);
    expect(all[1]?.parents).toMatchObject({ dam: 'G-1', sire: 'G-2', version: 1 });
    expect(all[0]?.parents).toBeNull();
    expect(all[1]?.spawned).toEqual([{ id: spawnId, name: 'Spawn 1' }]);
  });

  it('are never their own ancestors, not by a correction either', async () => {
    const wrong = await enter('animal', { animal: 'X', dam: 'X' });
    expect([wrong.status, wrong.text]).toEqual([400, expect.stringContaining('its own ancestor')]);
    const { animals: all } = await look<{ animals: Animal[] }>('/animals');
    expect(all.map(({ name }) => name)).not.toContain('X');
    const entry = all.find(({ name }) => name === 'N-01')?.parents?.id ?? '';
    const json = { changes: { dam: 'N-01' }, why: 'slip' };
    const corrected = await at.send('POST', `${BASE}/entries/parents/${entry}/correct`, { cookie, json });
    expect([corrected.status, corrected.text]).toEqual([400, expect.stringContaining('its own ancestor')]);
  });
});

describe('an animal that was entered wrongly', () => {
  const correct = (id: string, changes: Record<string, string>, version?: number) => {
    const json = { changes, why: 'misread the tag', ...(version === undefined ? {} : { version }) };
    return at.send('POST', `${BASE}/entries/animal/${id}/correct`, { cookie, json });
  };
  const takeBack = (id: string) =>
    at.send('POST', `${BASE}/entries/animal/${id}/take-back`, { cookie, json: { why: 'never was here' } });
  const named = async (name: string): Promise<Animal | undefined> =>
    (await look<{ animals: Animal[] }>('/animals')).animals.find((one) => one.name === name);

  it('is said anew, its young follow its tag, and what was said before stays', async () => {
    const parent = await entered('animal', { animal: 'P-1', species: 'eastern-oyster', origin: 'north bar' });
    const young = await entered('animal', { animal: 'P-2', dam: 'p-1' });
    const done = await correct(parent, { name: 'P-7', origin: 'south bar', sex: 'female' }, 1);
    expect([done.status, done.text]).toEqual([200, expect.stringContaining('"version":2')]);
    expect(await named('P-7')).toMatchObject({ id: parent, origin: 'south bar', sex: 'female' });
    expect((await named('P-2'))?.parents).toMatchObject({ dam: 'P-7', version: 2 });
    const { versions, fields } = await look<StandingEntry>(`/entries/animal/${parent}`);
    expect(fields).toMatchObject({ name: 'P-7', species: 'eastern-oyster' });
    expect(versions.map(({ fields: { name, origin }, by, why }) => [name, origin, by, why])).toEqual([
      ['P-1', 'north bar', 'Ana', null],
      ['P-7', 'south bar', 'Ana', 'misread the tag'],
    ]);
    const taken = await takeBack(parent);
    expect([taken.status, taken.text]).toEqual([409, expect.stringContaining('Take that back first')]);
    expect(await named('P-2')).toMatchObject({ id: young });
  });

  it('is refused a tag that another has, a sex that is none, and a version that somebody changed', async () => {
    const id = await entered('animal', { animal: 'P-3' });
    const refused = [
      [await correct(id, { name: 'n-01' }), 400, 'There is an animal'],
      [await correct(id, { name: '' }), 400, 'name is missing'],
      [await correct(id, { sex: 'maybe' }), 400, 'one of female, male, both, unknown'],
      [await correct(id, { origin: 'east bar' }, 7), 412, 'in the meantime'],
      [await correct('nobody', { origin: 'east bar' }), 400, 'There is no animal'],
    ] as const;
    for (const [answer, status, why] of refused) {
      expect([answer.status, answer.text]).toEqual([status, expect.stringContaining(why)]);
    }
    expect((await correct(id, { name: 'p-3' })).status).toBe(200);
  });

  it('is taken back when nothing rests on it', async () => {
    const id = await entered('animal', { animal: 'P-4' });
    expect((await takeBack(id)).status).toBe(200);
    expect(await named('P-4')).toBeUndefined();
    const { versions } = await look<StandingEntry>(`/entries/animal/${id}`);
    expect(versions.map(({ withdrawn, why }) => [withdrawn, why])).toEqual([
      [false, null],
      [true, 'never was here'],
    ]);
    const spawned = await takeBack(animals.get('N-01') ?? '');
    expect([spawned.status, spawned.text]).toEqual([409, expect.stringContaining('N-01 stands in')]);
  });
});

describe('a cross that is thought of', () => {
  // full sibs 1/4, half sibs 1/8: Falconer & Mackay 1996, Introduction to Quantitative Genetics, chapter 5
  it('says how related each pair is, and whose parents are not known', async () => {
    const { pairs, parentsUnknown, warnings } = await judged(['N-01', 'N-02'], ['N-03', 'E-17']);
    expect(pairs.map(({ dam, sire, kinship }) => [dam, sire, kinship])).toEqual([
      ['N-01', 'N-03', 1 / 4],
      ['N-01', 'E-17', 0],
      ['N-02', 'N-03', 1 / 8],
      ['N-02', 'E-17', 0],
    ]);
    expect(parentsUnknown).toEqual(['E-17']);
    expect(warnings.filter(({ code }) => code === 'related-cross')).toHaveLength(2);
  });

  // Wright 1931, Lacy 1989, by hand: shares 62/103 and 41/103 make 1.920 dams; 4 x 1 x 1.920 / 2.920 = 2.630
  it('says the effective number of breeders by the eggs that each gave', async () => {
    const { effective, dams, sharesKnown } = await judged(['N-01', 'N-02'], ['E-17']);
    expect(dams).toEqual({ number: 2, effective: expect.closeTo(1.9202, 3) });
    expect([effective, sharesKnown]).toEqual([expect.closeTo(2.6302, 3), true]);
  });

  it('shares eggs and sperm in equal parts, and the pool among the males', async () => {
    const { eggs, sperm, pool } = await judged(['N-01', 'N-02'], ['E-17', 'N-03']);
    expect(eggs?.parts[0]?.ml).toBeCloseTo(297.58, 2);
    expect(sperm).toMatchObject({ by: 'volume', notCounted: ['E-17', 'N-03'], totalMl: 24 });
    expect(pool).toEqual([
      { animal: 'E-17', ml: 338.7 },
      { animal: 'N-03', ml: 338.7 },
    ]);
  });

  it('keeps nothing, and names only animals that are kept', async () => {
    expect(await at.house.store.crosses.list()).toEqual([]);
    const json = { dams: ['nobody'], sires: ids('E-17') };
    expect((await at.send('POST', `${BASE}/spawns/${spawnId}/try-cross`, { cookie, json })).status).toBe(400);
    expect((await at.send('POST', `${BASE}/spawns/none/try-cross`, { cookie, json })).status).toBe(404);
  });
});

describe('a spawn', () => {
  let batchId = '';
  beforeAll(async () => {
    const cross = { cross: 'X1', spawn: 'Spawn 1', at: '2026-05-04T09:00Z', dams: 'N-01;N-02', sires: 'E-17' };
    await entered('cross', { ...cross, eggs: '8200000', sperm: '8200000000' });
    await entered('sperm-check', { cross: 'X1', attached_per_egg: '3.5', eggs: '40', at: '2026-05-04T09:20Z' });
    batchId = await entered('batch', { batch: 'A', crosses: 'X1=8000000' });
    await entered('tank', { tank: '1-1', volume_l: '2000' });
  });

  it('holds what came of it, each with who said it', async () => {
    const { spawn, results, crosses, batches } = await look<SpawnView>(`/spawns/${spawnId}`);
    expect(spawn).toMatchObject({ name: 'Spawn 1', raisedC: 28, by: 'Ana', version: 1 });
    expect(results.map(({ animal, gametes }) => [animal, gametes])).toEqual([
      ['N-01', 6_200_000],
      ['N-02', 4_100_000],
      ['E-17', null],
      ['N-03', null],
    ]);
    expect(crosses[0]).toMatchObject({
      name: 'X1',
      addedPerEgg: 1000,
      spermChecks: [{ attachedPerEgg: 3.5, eggs: 40, band: 'advised', by: 'Ana' }],
      batches: [{ name: 'A', eggs: 8_000_000 }],
    });
    expect(batches).toMatchObject([{ id: batchId, name: 'A', spawnedAt: '2026-05-04T09:00:00.000Z' }]);
    const { spawns } = await look<{ spawns: SpawnLine[] }>('/spawns');
    expect(spawns).toMatchObject([{ name: 'Spawn 1', animals: 4, spawned: 4, batches: [{ name: 'A' }] }]);
    expect((await at.send('GET', `${BASE}/spawns/none`, { cookie })).status).toBe(404);
  });

  it('lists a count of its eggs before it is signed off, without a share', async () => {
    const tank = (await at.house.store.tanks.list())[0]?.id ?? '';
    const sample = {
      ...{ tank, batch: batchId, takenAt: '2026-05-04T10:30:00Z', condition: { kind: 'live' }, containerMl: 2000 },
      fillings: [{ steps: [], wholeSlideMl: null }],
      ...{ cell: { kind: 'sedgwick-rafter' }, scale: { kind: 'ruled-lines' } },
    };
    expect((await at.send('POST', `${BASE}/samples`, { cookie, json: sample })).status).toBe(201);
    const { fertilisation } = await look<SpawnView>(`/spawns/${spawnId}`);
    expect(fertilisation).toMatchObject([{ minutes: 90, state: 'open', answer: null, tankName: '1-1' }]);
  });
});

describe('setting', () => {
  it('shows larvae, sets and the efficiency reached, which later plans can go by', async () => {
    await entered('move', { kind: 'stock', to: '1-1', batch: 'A', number: '1100000', low: '950000', high: '1260000' });
    const batch = (await at.house.store.batches.list())[0]?.id ?? '';
    const before = await look<SettingOfBatch>(`/batches/${batch}/setting`);
    expect(before).toMatchObject({ available: { estimate: 1_100_000 }, settings: [], ownSets: [] });
    await entered('setting', { from: '1-1', all: 'yes', cultch: 'whole shell', shells: '11000', bags: '44' });
    await entered('spat-count', { batch: 'A', shells: '60', spat: '806' });
    const after = await look<SettingOfBatch>(`/batches/${batch}/setting`);
    expect([after.tanks, after.available]).toEqual([[], null]);
    // 806 / 60 x 11,000 = 147,767 spat of 1,100,000 larvae: 13.4 %
    const [set] = after.ownSets;
    expect(set).toMatchObject({
      spat: { estimate: expect.closeTo(147_766.7, 1) as number },
      efficiency: { estimate: expect.closeTo(0.13433, 5) as number },
      limits: { estimate: 1_100_000, low: 950_000, high: 1_260_000 },
    });
    const { low = 1, high = 0 } = set?.efficiency ?? {};
    expect([low < 0.13, high > 0.14]).toEqual([true, true]);
    expect((await at.send('GET', `${BASE}/batches/none/setting`, { cookie })).status).toBe(404);
  });
});
