import { afterEach, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { asAna, newSample, startTestServer, type Got, type TestServer } from './support.ts';

let server: TestServer;
afterEach(() => server.close());

const post = (path: string, json: object): Promise<Got> => server.send('POST', BASE + path, { cookie: asAna, json });

describe('tanks and batches', () => {
  it('keep their names as text, and no name twice', async () => {
    server = await startTestServer();
    expect((await post('/tanks', { name: '007', volumeMl: 2e6 })).json).toMatchObject({ name: '007', volumeMl: 2e6 });
    expect((await post('/tanks', { name: '007' })).json).toMatchObject({
      status: 409,
      detail: 'There is a tank 007 already. Choose it, or take another name.',
    });
    const batch = await post('/batches', {
      name: 'A',
      species: 'eastern-oyster',
      spawnedAt: '2026-05-01T06:00:00-04:00',
    });
    expect(batch).toMatchObject({
      status: 201,
      json: { name: 'A', spawnedAt: '2026-05-01T10:00:00.000Z' },
    });
    expect((await server.send('GET', `${BASE}/batches`)).json.batches).toHaveLength(1);
  });
});

describe('samples', () => {
  it('know the age of the larvae from their batch, and are listed latest first', async () => {
    server = await startTestServer();
    const tank = (await post('/tanks', { name: '1' })).json.id as string;
    const other = (await post('/tanks', { name: '2' })).json.id as string;
    const batch = (await post('/batches', { name: 'A', species: 'eastern-oyster', spawnedAt: '2026-05-01T10:00:00Z' }))
      .json.id as string;
    const takenAt = '2026-05-03T10:30:00Z';
    const first = await post('/samples', { ...newSample(tank), batch, takenAt });
    expect(first.json).toMatchObject({
      tankName: '1',
      batchName: 'A',
      ageHours: 48.5,
      species: 'eastern-oyster',
      state: 'open',
      fields: null,
      revision: 1,
    });
    await post('/samples', { ...newSample(other), takenAt: '2026-05-04T10:30:00Z' });
    const list = async (query: string): Promise<string[]> =>
      ((await server.send('GET', `${BASE}/samples${query}`)).json.samples as { tankName: string }[]).map(
        ({ tankName }) => tankName,
      );
    expect(await list('')).toEqual(['2', '1']);
    expect(await list(`?batch=${batch}`)).toEqual(['1']);
    expect(await list(`?tank=${other}`)).toEqual(['2']);
    expect(await list('?state=signed-off')).toEqual([]);
    expect((await server.send('GET', `${BASE}/samples?colour=red`)).status).toBe(200);
  });

  it('keep every part of their answer as it was asked for', async () => {
    server = await startTestServer();
    const tank = (await post('/tanks', { name: '1' })).json.id as string;
    const asked = {
      ...newSample(tank),
      condition: { kind: 'fixed', fixative: 'formalin 4 %', buffered: true },
      fillings: [{ steps: [{ takenMl: 5, madeUpToMl: 50 }], wholeSlideMl: 1 }],
      cell: { kind: 'haemocytometer', depthMm: 0.2 },
      scale: { kind: 'ruled-lines' },
      countingRule: 'two-sides',
      note: 'stirred',
    };
    const { json } = await post('/samples', asked);
    expect((await server.send('GET', `${BASE}/samples/${String(json.id)}`)).json).toMatchObject(asked);
    // what the worker that counts goes by
    expect((await server.house.store.samples.list())[0].counting).toMatchObject({
      cell: 'haemocytometer',
      rule: 'two-sides',
      area: 'field',
    });
  });

  it('name a tank that is there, volumes above 0, and fields of a ruled cell', async () => {
    server = await startTestServer();
    const tank = (await post('/tanks', { name: '1' })).json.id as string;
    expect((await post('/samples', newSample('none'))).status).toBe(404);
    expect((await post('/samples', { ...newSample(tank), containerMl: 0 })).json.fields[0].field).toBe('containerMl');
    const diluted = { ...newSample(tank), fillings: [{ steps: [{ takenMl: 1, factor: 10 }], wholeSlideMl: null }] };
    expect((await post('/samples', diluted)).status).toBe(400);
    const drawn = await post('/samples', { ...newSample(tank), draw: { photos: 3 } });
    expect(drawn.json.fields.fields).toHaveLength(3);
    const none = { ...newSample(tank), cell: { kind: 'none', depthMm: 1 }, draw: { photos: 3 } };
    expect((await post('/samples', none)).json).toMatchObject({
      status: 409,
      detail: 'Fields can be drawn on a ruled cell only. Choose the cell first.',
    });
  });
});
