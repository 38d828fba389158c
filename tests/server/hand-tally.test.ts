import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { keepHandTally, type HandTally } from '@veligrid/server';
import { asAna, startTestServer, type TestServer } from './support.ts';

let server: TestServer;
beforeEach(async () => {
  server = await startTestServer();
});
afterEach(() => server.close());

async function tally(more: Partial<HandTally> = {}): Promise<string> {
  const { store } = server.house;
  const volume = { volumeMl: 2e6, volumeStandardUncertaintyMl: null };
  const tank = await store.tanks.add(
    { name: `tank ${Math.random()}`, ...volume, note: '', active: true },
    { by: 'Ana' },
  );
  const fillings = [80, 77, 80].map((alive, i) => ({ alive, dead: i, volumeMl: 0.5, steps: [] }));
  const whole: HandTally = {
    by: 'Day technician',
    name: 'by eye',
    tankId: tank.id,
    batchId: null,
    takenAt: '2026-06-01T09:00:00.000Z',
    species: 'eastern-oyster',
    notes: { kind: 'live' },
    stage: 'd-larva',
    containerMl: 300,
    fillings,
    lengthsUm: [70, 72, 74],
    note: '',
    ...more,
  };
  return (await keepHandTally(store, whole)).sampleId;
}

describe('a count made by eye', () => {
  it('is signed off in the name of who made it, and the viewer reads it like any other', async () => {
    // CV-02 of the trade's check values: 80, 77, 80 per 0.5 mL of 300 mL are 47,400
    const id = await tally();
    const sample = await server.send('GET', `${BASE}/samples/${id}`, { cookie: asAna });
    expect(sample.json).toMatchObject({ state: 'signed-off', containerMl: 300, photos: { all: 0 } });
    // the test server refuses answers that don't fit the published schemas
    const { status, json } = await server.send('GET', `${BASE}/samples/${id}/results`, { cookie: asAna });
    expect(status).toBe(200);
    const [result] = json.results;
    expect(result.alive.total.estimate).toBeCloseTo(47_400, 6);
    expect(result.all.total.estimate).toBeCloseTo((240 / 1.5) * 300, 6);
    expect(result.signedOff.by).toBe('Day technician');
    expect(result.shares.map(({ stage, animals }: { stage: string; animals: number }) => [stage, animals])).toEqual([
      ['d-larva', 237],
      ['dead', 3],
    ]);
    expect([result.animals, result.lengths.measured, result.lengths.mean.estimate]).toEqual([240, 3, 72]);
    expect(result.cautions.map(({ code }: { code: string }) => code)).toEqual(['counted-by-hand']);
    expect((await server.send('GET', `${BASE}/samples`, { cookie: asAna })).json.samples).toHaveLength(1);
  });

  it('can be opened again with a reason, and gives no total then', async () => {
    const id = await tally();
    const reopened = await server.send('POST', `${BASE}/samples/${id}/reopen`, {
      cookie: asAna,
      json: { reason: 'wrong tank' },
    });
    expect(reopened.json.reopened).toMatchObject({ reason: 'wrong tank' });
    expect((await server.send('GET', `${BASE}/samples/${id}`, { cookie: asAna })).json.state).toBe('open');
  });

  it('of a fixed sample says nothing of the living alone, and takes no dead', async () => {
    const fixed = { notes: { kind: 'fixed', fixative: "Lugol's" } } as const;
    const fillings = [{ alive: 80, dead: 0, volumeMl: 0.5, steps: [] }];
    const id = await tally({ ...fixed, fillings, lengthsUm: [] });
    const { json } = await server.send('GET', `${BASE}/samples/${id}/results`, { cookie: asAna });
    expect([json.results[0].alive, json.results[0].lengths]).toEqual([null, null]);
    expect(json.results[0].cautions.map(({ code }: { code: string }) => code)).toContain('dead-not-judged');
    await expect(tally(fixed)).rejects.toThrow('can not be told from the living');
  });

  it('of nothing is a count of nothing', async () => {
    const id = await tally({ fillings: [{ alive: 0, dead: 0, volumeMl: 0.5, steps: [] }], lengthsUm: [] });
    const { json } = await server.send('GET', `${BASE}/samples/${id}/results`, { cookie: asAna });
    expect([json.results[0].alive.total.estimate, json.results[0].shares]).toEqual([0, []]);
  });
});
