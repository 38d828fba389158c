import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE, type FeedDay, type Morning } from '@veligrid/api';
import { startTestServer, type TestServer } from './support.ts';

let at: TestServer;
const cookie = 'veligrid-name=Ana';

async function enter(kind: string, fields: Record<string, string>): Promise<string> {
  const { status, json } = await at.send('POST', `${BASE}/entries/${kind}`, { cookie, json: { fields } });
  expect([status, json]).toEqual([201, json]);
  return (json as { id: string }).id;
}

const morning = async (query: string): Promise<Morning> =>
  (await at.send('GET', `${BASE}/morning?${query}`, { cookie })).json as Morning;
const feed = async (query = 'day=2026-05-08'): Promise<FeedDay> =>
  (await at.send('GET', `${BASE}/feed?${query}`, { cookie })).json as FeedDay;

/** Counts of three fillings of 0.5 mL out of 2 L after 10 mL were made up to 100: 80 a filling stand for 3.2 million. */
const counted = (counts: string, day: string, lengths: string): Record<string, string> => ({
  tank: '1-1',
  sample: `A ${day}`,
  container_ml: '2000',
  counts,
  volume_ml: '0.5',
  taken_ml: '10',
  made_up_to_ml: '100',
  stage: 'd-larva',
  lengths_um: lengths,
  at: `${day}T10:00Z`,
});

let tank: string;
let culture: string;

beforeAll(async () => {
  at = await startTestServer();
  await enter('batch', { batch: 'A', species: 'eastern-oyster', spawned_at: '2026-05-04T09:00Z' });
  tank = await enter('tank', { tank: '1-1', volume_l: '1000' });
  await enter('tank', { tank: '1-10', volume_l: '1000' });
  await enter('tank', { tank: '1-2', volume_l: '1000' });
  await enter('move', { kind: 'stock', to: '1-1', batch: 'A', number: '4000000', at: '2026-05-04T11:00Z' });
  culture = await enter('culture', { culture: 'T-4', alga: 'Tisochrysis lutea' });
  await enter('culture', { culture: 'X', alga: 'something green' });
  await enter('culture-reading', { culture: 'T-4', litres: '20', cells_per_ml: '4000000', at: '2026-05-08T06:00Z' });
  await enter('culture-reading', { culture: 'X', litres: '20', cells_per_ml: '4000000', at: '2026-05-05T06:00Z' });
  await enter('count', counted('80;80;80', '2026-05-06', '80;82;84;86;88'));
  await enter('count', counted('76;77;75', '2026-05-08', '90;92;94;96;98'));
});
afterAll(() => at.close());

describe('the morning', () => {
  it('tells of each tank what is in it, by the last count, and which are empty, in the order of people', async () => {
    const { tanks, empty, batches } = await morning('day=2026-05-08');
    expect(empty.map(({ name }) => name)).toEqual(['1-2', '1-10']);
    // 228 animals in 1.5 mL of a tenfold dilution: 1520 a mL in 2000 mL, which are 3.04 a mL of a tank of 1000 L
    expect(tanks).toMatchObject([
      {
        tank: { name: '1-1' },
        batch: { name: 'A' },
        lastCount: {
          alive: { estimate: expect.closeTo(3_040_000, 0) as number },
          perMl: { estimate: expect.closeTo(3.04, 6) as number },
        },
        length: { mean: { estimate: expect.closeTo(94, 6) as number } },
        survival: { since: 'count', days: 2, part: { estimate: expect.closeTo(228 / 240, 2) as number } },
      },
    ]);
    expect(batches[0]?.survival?.estimate).toBeCloseTo(0.76, 2);
  });

  it('shows a day as it was recorded up to its end', async () => {
    const { tanks } = await morning('day=2026-05-06');
    expect(tanks[0]?.lastCount?.sample.name).toBe('A 2026-05-06');
    expect((await morning('day=2026-05-03')).tanks).toEqual([]);
  });

  it('goes by the rhythm of the house: due, done, later', async () => {
    const dues = async (day: string): Promise<unknown> =>
      (await morning(`day=${day}`)).tanks[0]?.due.map(({ what, state, next }) => [what, state, next]);
    expect(await dues('2026-05-05')).toEqual([
      ['drop', 'later', '2026-05-06'],
      ['count', 'later', '2026-05-06'],
      ['feed', 'later', '2026-05-06'],
    ]);
    expect(await dues('2026-05-08')).toEqual([
      ['drop', 'due', '2026-05-06'],
      ['count', 'done', '2026-05-10'],
      ['feed', 'due', '2026-05-06'],
    ]);
    await at.send('PATCH', `${BASE}/settings`, {
      cookie,
      json: { dropDays: 0, countDays: 3 },
    });
    expect(await dues('2026-05-08')).toEqual([
      ['count', 'done', '2026-05-11'],
      ['feed', 'due', '2026-05-06'],
    ]);
  });

  it('means the day of the zone that is named', async () => {
    // 02:00 UTC on the 9th is the evening of the 8th in New York
    const late = { tank: '1-2', batch: 'A', number: '1000', kind: 'stock', at: '2026-05-09T02:00Z' };
    const { tank: to, ...rest } = late;
    const move = await enter('move', { ...rest, to });
    const names = async (query: string): Promise<string[]> => (await morning(query)).tanks.map((one) => one.tank.name);
    expect(await names('day=2026-05-08&zone=America/New_York')).toEqual(['1-1', '1-2']);
    expect(await names('day=2026-05-08&zone=UTC')).toEqual(['1-1']);
    await at.send('POST', `${BASE}/entries/move/${move}/take-back`, { cookie, json: { why: 'a trial' } });
    const wrong = await at.send('GET', `${BASE}/morning?zone=Nowhere/Land`, { cookie });
    expect([wrong.status, (wrong.json as { detail: string }).detail]).toEqual([
      400,
      'Expected zone to be a time zone such as America/New_York, but got "Nowhere/Land"',
    ]);
  });

  it('names what wants a look', async () => {
    const codes = async (day: string): Promise<unknown> =>
      (await morning(`day=${day}`)).tanks[0]?.flags.map(({ code }) => code);
    expect(await codes('2026-05-08')).toEqual([]);
    // 94 um on day 4 is within the band, 100 on day 10 far below; 400 a filling are more than ever came in
    const later = await enter('count', counted('400;410;405', '2026-05-14', '99;100;101'));
    expect(await codes('2026-05-14')).toEqual(['more-than-came-in', 'below-band']);
    const flag = (await morning('day=2026-05-14')).tanks[0]?.flags[0];
    expect(flag?.sampleId).toBe(later);
    expect(flag?.numbers['animals']).toBeCloseTo(16_200_000 - 3_040_000, -3);
    const { cultures } = await morning('day=2026-05-08');
    expect(cultures.map(({ culture: { name }, old }) => [name, old])).toEqual([
      ['T-4', false],
      ['X', true],
    ]);
  });
});

describe('the feed sheet', () => {
  it('asks for so much of a culture that the tank reaches the ration of its stage', async () => {
    const sheet = await feed();
    const [line] = sheet.tanks;
    expect([line?.stage, line?.targetCellsPerMl]).toEqual(['d-larva', 15_000]);
    // water x target / (culture - target), in L: 1000 x 15000/(4000000 - 15000)
    expect(line?.doses[0]?.litres).toBeCloseTo((1000 * 15_000) / (4_000_000 - 15_000), 6);
    expect(sheet.figures.map(({ name }) => name)).toContain('ration.d-larva.cells-per-ml');
    expect(sheet.figures.every(({ source }) => source !== '')).toBe(true);
    expect(sheet.cultures.map(({ culture: { name }, leftOut }) => [name, leftOut])).toEqual([
      ['T-4', null],
      ['X', 'unknown-alga'],
    ]);
  });

  it('counts in what is left in the tank, and keeps who counted it', async () => {
    const json = { day: '2026-05-08', tank, cellsPerMl: 5000 };
    await at.send('POST', `${BASE}/feed/left`, { cookie, json });
    const [line] = (await feed()).tanks;
    expect(line?.left).toMatchObject({ cellsPerMl: 5000, by: 'Ana' });
    expect(line?.doses[0]?.litres).toBeCloseTo((1000 * 10_000) / (4_000_000 - 15_000), 6);
    await at.send('POST', `${BASE}/feed/left`, { cookie, json: { ...json, cellsPerMl: null } });
    expect((await feed()).tanks[0]?.left).toBeNull();
  });

  it('names who runs short where there is too little', async () => {
    const reading = await enter('culture-reading', {
      culture: 'T-4',
      litres: '1',
      cells_per_ml: '4000000',
      at: '2026-05-08T07:00Z',
    });
    const sheet = await feed();
    expect(sheet.cultures[0]).toMatchObject({ litres: 1, handedLitres: 1, runShort: ['1-1'] });
    expect(sheet.tanks[0]?.partOfTarget).toBeCloseTo(4_000_000 / 1001 / 15_000, 6);
    await at.send('POST', `${BASE}/entries/culture-reading/${reading}/take-back`, { cookie, json: { why: 'a trial' } });
  });

  it('is ticked off once, however often and by however many, and can be taken back', async () => {
    const json = { day: '2026-05-08', tank, culture, litres: 3.76 };
    const tick = async (name: string): Promise<{ id: string; before: boolean }> =>
      (await at.send('POST', `${BASE}/feed/given`, { cookie: `veligrid-name=${name}`, json })).json as {
        id: string;
        before: boolean;
      };
    const both = await Promise.all([tick('Ana'), tick('Ben')]);
    expect(both.map(({ before }) => before).toSorted()).toEqual([false, true]);
    expect(both[0].id).toBe(both[1].id);
    const rations = await at.house.store.rations.list();
    expect(rations.map(({ litres, cellsPerMl }) => [litres, cellsPerMl])).toEqual([[3.76, 4_000_000]]);
    const dose = (await feed()).tanks[0]?.doses[0];
    // the sheet itself does not change under the hand
    expect(dose?.litres).toBeCloseTo((1000 * 15_000) / (4_000_000 - 15_000), 6);
    const [given] = dose?.given ?? [];
    expect([given?.litres, given?.version]).toEqual([3.76, 1]);
    expect((await morning('day=2026-05-08')).tanks[0]?.due.at(-1)).toMatchObject({ what: 'feed', state: 'done' });
    const back = { version: 1, why: 'wrong tank' };
    await at.send('POST', `${BASE}/entries/ration/${given?.id ?? ''}/take-back`, { cookie, json: back });
    expect((await feed()).tanks[0]?.doses[0]?.given).toEqual([]);
    expect((await tick('Ana')).before).toBe(false);
    expect(await at.house.store.rations.list()).toHaveLength(1);
  });
});
