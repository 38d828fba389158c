import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { newSample, startTestServer, type TestServer } from './support.ts';

let at: TestServer;
const cookie = 'veligrid-name=Ana';

interface Listed {
  readonly samples: readonly { readonly takenAt: string; readonly tankName: string }[];
  readonly all: number;
}
const list = async (query = ''): Promise<Listed> =>
  (await at.send('GET', `${BASE}/samples${query}`, { cookie })).json as Listed;

beforeAll(async () => {
  at = await startTestServer();
  const ids: string[] = [];
  for (const name of ['1-1', '1-2']) {
    const tank = await at.send('POST', `${BASE}/tanks`, { cookie, json: { name } });
    ids.push((tank.json as { id: string }).id);
  }
  for (let day = 1; day <= 7; day += 1) {
    const json = { ...newSample(ids[day % 2] ?? '', 1), takenAt: `2026-05-0${String(day)}T08:00:00.000Z` };
    expect((await at.send('POST', `${BASE}/samples`, { cookie, json })).status).toBe(201);
  }
  const fields = { tank: '1-1', counts: '4;5', volume_ml: '1', container_ml: '100', at: '2026-05-08T08:00:00Z' };
  await at.send('POST', `${BASE}/entries/count`, { cookie, json: { fields } });
});
afterAll(() => at.close());

const days = ({ samples }: Listed): number[] => samples.map(({ takenAt }) => Number(takenAt.slice(8, 10)));

describe('the list of samples', () => {
  it('goes from the latest back, so many at a time, and says how many there are', async () => {
    expect(days(await list())).toEqual([8, 7, 6, 5, 4, 3, 2, 1]);
    const some = await list('?most=3&skip=2');
    expect([days(some), some.all]).toEqual([[6, 5, 4], 8]);
    expect(days(await list('?most=3&skip=99'))).toEqual([]);
    expect((await at.send('GET', `${BASE}/samples?most=201`, { cookie })).status).toBe(400);
  });

  it('may be of one tank, or of those signed off or open', async () => {
    const signed = await list('?state=signed-off');
    expect([days(signed), signed.all]).toEqual([[8], 1]);
    expect(days(await list('?state=open&most=2'))).toEqual([7, 6]);
    const [latest] = (await list('?most=1')).samples as unknown as readonly { readonly tank: string }[];
    expect(days(await list(`?tank=${latest?.tank ?? ''}`))).toEqual([8, 6, 4, 2]);
  });
});
