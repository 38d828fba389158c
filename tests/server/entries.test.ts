import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { startTestServer, type TestServer } from './support.ts';

let at: TestServer;
const cookie = 'veligrid-name=Ana';

const enter = (kind: string, fields: Record<string, string>) =>
  at.send('POST', `${BASE}/entries/${kind}`, { cookie, json: { fields } });

beforeAll(async () => {
  at = await startTestServer();
  await enter('batch', { batch: 'A', species: 'eastern-oyster' });
  await enter('tank', { tank: '1-15', volume_l: '2000' });
});
afterAll(() => at.close());

describe('what staff enter', () => {
  it('is kept in their name, and a move says where larvae went', async () => {
    const moved = await enter('move', { kind: 'stock', to: '1-15', batch: 'A', number: '8000000' });
    expect(moved.status).toBe(201);
    const [move] = await at.house.store.moves.list();
    expect(move).toMatchObject({ kind: 'stock', number: 8_000_000, by: 'Ana' });
  });

  it('is kept once when it is sent again because the answer was lost', async () => {
    const key = '0b9d6f6e-3b0a-4c64-9b1c-5d1a3f0e7c11';
    const json = { fields: { kind: 'cull', from: '1-15', number: '7' }, key };
    const first = await at.send('POST', `${BASE}/entries/move`, { cookie, json });
    const again = await at.send('POST', `${BASE}/entries/move`, { cookie, json });
    expect([first.status, again.json]).toEqual([201, first.json]);
    expect((await at.house.store.moves.list()).filter(({ number }) => number === 7)).toHaveLength(1);
  });

  it('of a count by eye is signed off by who enters it', async () => {
    const count = await enter('count', {
      tank: '1-15',
      container_ml: '2000',
      counts: '152;139;149',
      volume_ml: '0.5',
      taken_ml: '10',
      made_up_to_ml: '100',
      stage: 'd-larva',
    });
    expect(count.status).toBe(201);
    const { id } = count.json as { id: string };
    expect((await at.house.store.signOffs.ofSample(id)).map(({ kind, by }) => [kind, by])).toEqual([['signed', 'Ana']]);
  });

  it('is refused in words when it can not have happened, and nothing is kept', async () => {
    const before = (await at.house.store.moves.list()).length;
    const wrong = await enter('move', { kind: 'cull', from: '9-9', number: '5' });
    expect([wrong.status, (wrong.json as { detail: string }).detail]).toEqual([
      400,
      'There is no tank "9-9". There are: 1-15.',
    ]);
    const merged = await enter('move', { kind: 'split', from: '1-15', to: '1-15', number: '5' });
    expect([merged.status, (merged.json as { detail: string }).detail]).toEqual([
      409,
      "This can't have happened: it goes to the tank it comes from.",
    ]);
    expect((await enter('wish', {})).status).toBe(404);
    expect((await at.house.store.moves.list()).length).toBe(before);
  });

  it('is corrected by who saw the last version, and what was said first stays', async () => {
    const [move] = await at.house.store.moves.list();
    const path = `${BASE}/entries/move/${move?.id ?? ''}`;
    const why = 'read the wrong line';
    const once = { version: 1, changes: { number: '7500000' }, why };
    expect((await at.send('POST', `${path}/correct`, { cookie, json: once })).json).toEqual({
      id: move?.id,
      version: 2,
    });
    const late = await at.send('POST', `${path}/correct`, { cookie, json: once });
    expect((late.json as { kind: string }).kind).toBe('changed-since');
    const versions = await at.house.store.moves.versions(move?.id ?? '');
    expect(versions.map(({ number }) => number)).toEqual([8_000_000, 7_500_000]);
  });

  it('is not taken back when something else rests on it', async () => {
    const [move] = await at.house.store.moves.list();
    await enter('move', { kind: 'cull', from: '1-15', number: '100' });
    const path = `${BASE}/entries/move/${move?.id ?? ''}/take-back`;
    const refused = await at.send('POST', path, { cookie, json: { why: 'another tank' } });
    expect((refused.json as { detail: string }).detail).toContain('Correct that first');
    expect(await at.house.store.moves.get(move?.id ?? '')).not.toBeNull();
  });
});
