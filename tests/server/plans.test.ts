import type { AfterCount, FigureList, Plan, PlanHead, TriedPlan } from '@veligrid/api';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { newSample, startTestServer, type TestServer } from './support.ts';

let at: TestServer;
const cookie = 'veligrid-name=Ana';
const ids = { first: '', second: '' };

const get = async <T>(path: string): Promise<T> => (await at.send('GET', BASE + path, { cookie })).json as T;
const post = (path: string, json: object) => at.send('POST', BASE + path, { cookie, json });

async function enter(kind: string, fields: Record<string, string>): Promise<string> {
  const { status, json } = await post(`/entries/${kind}`, { fields });
  expect([status, json]).toEqual([201, expect.anything()]);
  return (json as { id: string }).id;
}

interface ByEye {
  readonly sample: string;
  readonly at: string;
  readonly counts: string;
  readonly stage: string;
  readonly lengths_um: string;
}

const count = (told: ByEye): Promise<string> =>
  enter('count', {
    ...told,
    tank: '1-15',
    container_ml: '2000',
    volume_ml: '0.5',
    taken_ml: '10',
    made_up_to_ml: '100',
  });

beforeAll(async () => {
  at = await startTestServer();
  await enter('batch', { batch: 'A', species: 'eastern-oyster', spawned_at: '2026-05-04T09:00Z' });
  await enter('tank', { tank: '1-15', volume_l: '2000' });
  await enter('tank', { tank: '1-16', volume_l: '1000' });
  const stocked = { kind: 'stock', to: '1-15', batch: 'A', number: '9000000', at: '2026-05-04T11:00Z' };
  await enter('move', stocked);
  // 150 in 0.5 mL of a tenth of 2,000 mL: 150 / 0.5 x 10 x 2,000 = 6,000,000
  ids.first = await count({
    sample: 'A day 2',
    at: '2026-05-06T09:00Z',
    counts: '150;150;150',
    stage: 'd-larva',
    lengths_um: '68;71;70;69;72;70',
  });
  await enter('move', { kind: 'cull', from: '1-15', number: '1000000', at: '2026-05-06T10:00Z' });
  ids.second = await count({
    sample: 'A day 6',
    at: '2026-05-10T09:00Z',
    counts: '100;100;100',
    stage: 'umbo',
    lengths_um: '118;121;117;124;120;120',
  });
});
afterAll(() => at.close());

describe('what a signed-off count changes', () => {
  it('is held against the count before, with what was moved in between', async () => {
    const after = await get<AfterCount>(`/samples/${ids.second}/after`);
    expect(after).toMatchObject({
      tank: { name: '1-15', volumeMl: 2e6 },
      batch: { name: 'A' },
      ageDays: 6,
      before: { what: 'count', sample: { id: ids.first, name: 'A day 2' } },
      between: [{ kind: 'cull', number: 1e6 }],
      since: [],
      notWorkedOut: [],
    });
    // (4,000,000 alive + 1,000,000 culled) / 6,000,000 before
    expect(after.survival).toMatchObject({ kind: 'survival', intervals: [{ fromDay: 2, toDay: 6 }] });
    if (after.survival?.kind === 'survival')
      expect(after.survival.intervals[0]?.survival.estimate).toBeCloseTo(5 / 6, 6);
    // means 70 and 120 um, four days apart
    if (after.growth?.kind === 'growth') expect(after.growth.sinceLast?.umPerDay.estimate).toBeCloseTo(12.5, 6);
    expect(after.growth).toMatchObject({ kind: 'growth', days: [{ place: 'within' }, { place: 'within' }] });
    expect(after.dYield).toBeNull();
  });

  it('says the yield of D-larvae at the first count of them, of the eggs stocked', async () => {
    const after = await get<AfterCount>(`/samples/${ids.first}/after`);
    expect(after).toMatchObject({ before: { what: 'came-in', sample: null }, since: [{ kind: 'cull' }] });
    expect(after.dYield).toMatchObject({ kind: 'survival', yields: [{ denominator: 'eggs' }] });
    if (after.dYield?.kind === 'survival') expect(after.dYield.yields[0]?.share.estimate).toBeCloseTo(6 / 9, 6);
  });

  it('allows plans that are filled in and can be worked out as they stand', async () => {
    const { allowed } = await get<AfterCount>(`/samples/${ids.second}/after`);
    expect(allowed.map(({ use }) => use)).toEqual(['thinning', 'stocking', 'screening', 'ration', 'readiness']);
    for (const { use, question } of allowed.filter((one) => one.use !== 'ration')) {
      expect([use, (await post('/plans/try', { question })).status]).toEqual([use, 200]);
    }
  });

  it('is refused for a count that is not signed off', async () => {
    const tank = await at.send('POST', `${BASE}/tanks`, { cookie, json: { name: 'other' } });
    const sample = await post('/samples', newSample((tank.json as { id: string }).id, 1));
    const { id } = sample.json as { id: string };
    const told = await at.send('GET', `${BASE}/samples/${id}/after`, { cookie });
    expect([told.status, (told.json as { kind: string }).kind]).toEqual([409, 'not-signed-off']);
  });
});

/** 2,000 L at four umbo larvae a mL hold eight million. */
const STOCKING = {
  kind: 'stocking',
  species: 'eastern-oyster',
  stage: 'umbo',
  tanks: [{ name: '1-15', volumeMl: 2e6, larvae: 9e6 }],
};

describe('a plan', () => {
  it('is tried without anything being kept, with figures changed for it alone', async () => {
    const changed = [{ name: 'stocking.umbo.per-ml', value: 2, why: 'warm week' }];
    const { status, json } = await post('/plans/try', { question: STOCKING, changed });
    const tried = json as TriedPlan;
    expect(status).toBe(200);
    expect(tried.answer).toMatchObject({ kind: 'stocking', perMl: 2, holds: 4e6 });
    expect(tried.changed).toMatchObject([{ name: 'stocking.umbo.per-ml', preset: 'this plan', source: 'warm week' }]);
    expect((await get<{ plans: PlanHead[] }>('/plans')).plans).toEqual([]);
  });

  it('is worked out anew when it is kept: an answer that is sent along is refused', async () => {
    const wrong = await post('/plans', { question: STOCKING, answer: { kind: 'stocking' } });
    expect(wrong.status).toBe(400);
    const { status, json } = await post('/plans', { question: STOCKING, sample: ids.second, why: 'too many' });
    expect(status).toBe(201);
    const head = json as PlanHead;
    expect(head).toMatchObject({
      kind: 'stocking',
      made: { by: 'Ana' },
      why: 'too many',
      sample: { name: 'A day 6' },
      batch: { name: 'A' },
      tank: { name: '1-15' },
      standing: 'stands',
    });
    const plan = await get<Plan>(`/plans/${head.id}`);
    expect(plan).toMatchObject({ question: STOCKING, answer: { perMl: 4, holds: 8e6 } });
    for (const choice of [`sample=${ids.second}`, `batch=${head.batch?.id ?? ''}`, `tank=${head.tank?.id ?? ''}`]) {
      expect((await get<{ plans: PlanHead[] }>(`/plans?${choice}`)).plans).toEqual([head]);
    }
    expect((await get<AfterCount>(`/samples/${ids.second}/after`)).plans).toEqual([head]);
  });

  it('says so when its count was opened again', async () => {
    const kept = await post('/plans', { question: STOCKING, sample: ids.first });
    const { id } = kept.json as PlanHead;
    expect((await post(`/samples/${ids.first}/reopen`, { reason: 'one photo was of another tank' })).status).toBe(200);
    expect((await get<Plan>(`/plans/${id}`)).standing).toBe('reopened');
    const late = await post('/plans', { question: STOCKING, sample: ids.first });
    expect([late.status, (late.json as { detail: string }).detail]).toEqual([
      409,
      'This count is not signed off, so no plan is kept for it. Sign it off first.',
    ]);
  });

  it('that is wrong or not there is refused in words', async () => {
    const missing = await post('/plans/try', { question: { kind: 'stocking', tanks: STOCKING.tanks } });
    expect([missing.status, (missing.json as { detail: string }).detail]).toEqual([
      400,
      expect.stringContaining('stage'),
    ]);
    const strange = [{ name: 'stocking.ubmo.per-ml', value: 2, why: 'x' }];
    expect((await post('/plans/try', { question: STOCKING, changed: strange })).status).toBe(400);
    expect((await at.send('GET', `${BASE}/plans/none`, { cookie })).status).toBe(404);
  });
});

describe('figures', () => {
  const put = (name: string, json: object) =>
    at.send('PUT', `${BASE}/figures/eastern-oyster/${encodeURIComponent(name)}`, { cookie, json });
  const UMBO = 'stocking.umbo.per-ml';
  const figureOf = async (name: string): Promise<FigureList['figures'][number] | undefined> =>
    (await get<FigureList>('/figures/eastern-oyster')).figures.find(({ figure }) => figure.name === name);

  it('are listed with source and unit, and own ones stand over them with who, when and why', async () => {
    expect(await figureOf(UMBO)).toMatchObject({
      own: false,
      figure: { value: 4, unit: 'larvae per mL', confidence: 'from memory' },
      changes: [],
    });
    expect((await put(UMBO, { value: 5, why: 'our season 2026', changes: 0 })).status).toBe(200);
    expect(await figureOf(UMBO)).toMatchObject({
      own: true,
      figure: { value: 5, source: 'our season 2026', confidence: 'own' },
      shipped: { value: 4 },
      changes: [{ value: 5, why: 'our season 2026', by: 'Ana' }],
    });
    const { json } = await post('/plans/try', { question: STOCKING });
    expect(json).toMatchObject({
      answer: { perMl: 5, holds: 10e6 },
      figures: 'common 1, eastern-oyster 1, own figures 1',
    });
  });

  it('go back to the shipped one, and refuse who did not see the last change', async () => {
    expect((await put(UMBO, { value: 6, why: 'x', changes: 0 })).status).toBe(412);
    expect((await put(UMBO, { value: null, why: 'was a slip', changes: 1 })).status).toBe(200);
    expect(await figureOf(UMBO)).toMatchObject({ own: false, figure: { value: 4 }, changes: [{}, { value: null }] });
    expect((await put(UMBO, { value: 5, changes: 2 })).status).toBe(400);
    expect((await put('no.such', { value: 5, why: 'x', changes: 0 })).status).toBe(400);
    expect((await at.send('GET', `${BASE}/figures/blue-mussel`, { cookie })).status).toBe(400);
  });
});
