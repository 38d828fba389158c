import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE, type BatchLine, type BatchSeason, type StandingEntry, type TankSeason } from '@veligrid/api';
import { startTestServer, type TestServer } from './support.ts';

let at: TestServer;
const cookie = 'veligrid-name=Ana';
const ids = new Map<string, string>();

/** Enters something, and remembers its id by a name. */
async function enter(kind: string, fields: Record<string, string>, as = Object.values(fields)[0] ?? ''): Promise<void> {
  const sent = await at.send('POST', `${BASE}/entries/${kind}`, { cookie, json: { fields } });
  expect([sent.status, sent.text]).toEqual([201, expect.anything()]);
  ids.set(as, (sent.json as { id: string }).id);
}

/** Three fillings of 1 mL of 1 L: the mean of the counts times 1000 is in the tank. */
const tally = (tank: string, day: number, counts: string, more: Record<string, string> = {}) =>
  enter(
    'count',
    {
      tank,
      at: `2026-05-${String(4 + day).padStart(2, '0')}T10:00Z`,
      container_ml: '1000',
      counts,
      volume_ml: '1',
      ...more,
    },
    `day ${day} ${tank}`,
  );

const get = async <T>(path: string): Promise<T> => (await at.send('GET', BASE + path, { cookie })).json as T;
const batch = (name = 'A'): Promise<BatchSeason> => get(`/season/batches/${ids.get(name) ?? ''}`);

beforeAll(async () => {
  at = await startTestServer();
  await enter('animal', { animal: 'N-01', sex: 'female' });
  await enter('animal', { animal: 'E-17', sex: 'male' });
  await enter('spawn', { spawn: 'Spawn 1', at: '2026-05-04T07:00Z' });
  await enter('cross', {
    cross: 'X1',
    spawn: 'Spawn 1',
    dams: 'N-01',
    sires: 'E-17',
    eggs: '1200000',
    at: '2026-05-04T10:00Z',
  });
  await enter('batch', { batch: 'A', crosses: 'X1=1000000' });
  await enter('batch', { batch: 'Later' });
  await enter('tank', { tank: '1-1', volume_l: '1000' });
  await enter('tank', { tank: '1-2', volume_l: '1000' });
  await enter('culture', { culture: 'T-4', alga: 'Tisochrysis lutea' });
  await enter('move', { kind: 'stock', to: '1-1', batch: 'A', number: '1000000', at: '2026-05-04T11:00Z' }, 'stocked');
  await tally('1-1', 2, '500;500;500', { stage: 'd-larva', lengths_um: '70;72;74', dead: '0;0;10' });
  await enter(
    'move',
    { kind: 'cull', from: '1-1', number: '100000', screen_um: '35', at: '2026-05-06T11:00Z' },
    'cull',
  );
  await enter('move', { kind: 'split', from: '1-1', to: '1-2', number: '150000', at: '2026-05-06T12:00Z' }, 'split');
  await enter(
    'ration',
    { tank: '1-1', culture: 'T-4', litres: '2', cells_per_ml: '3000000', at: '2026-05-07T08:00Z' },
    'fed',
  );
  await enter('water', { tank: '1-1', temperature_c: '26', at: '2026-05-07T07:00Z' }, 'water');
  await tally('1-1', 4, '200;200;200', { stage: 'umbo', lengths_um: '95;97;99' });
});
afterAll(() => at.close());

describe('a batch, from broodstock to now', () => {
  it('is where the ledger says, with its limits and its density', async () => {
    const { now } = await batch();
    expect(now.map(({ tank, present }) => [tank.name, Math.round(present.estimate)])).toEqual([
      ['1-1', 200_000],
      ['1-2', 150_000],
    ]);
    expect(now[0]?.densityPerMl?.estimate).toBeCloseTo(0.2, 9);
    expect(now[0]?.lastCount?.sample.id).toBe(ids.get('day 4 1-1'));
    expect(now[1]?.lastCount).toBeNull();
  });

  it('came through by what is left when moves are allowed for: by pencil 1/2, then 200 of 250', async () => {
    const { survival } = await batch();
    const [first, second] = survival.intervals;
    expect([first?.survival?.estimate, second?.survival?.estimate]).toEqual([
      expect.closeTo(0.5, 9),
      expect.closeTo((200 + 250) / 500, 9),
    ]);
    expect(second?.out.map(({ line, animals, moves }) => [line, animals, moves])).toEqual([
      ['culled', 100_000, [ids.get('cull')]],
      ['movedOut', 150_000, [ids.get('split')]],
    ]);
    expect(second?.unexplained.estimate).toBeCloseTo(50_000, 3);
    expect(survival.points.map(({ ofStocked }) => ofStocked.estimate)).toEqual([
      expect.closeTo(0.5, 9),
      expect.closeTo(0.5 * (200 / 250), 9),
    ]);
    expect(survival.sinceLarvae?.estimate).toBeCloseTo(0.8, 9);
  });

  it('grows beside its band, every point with its day and its sample', async () => {
    const { growth } = await batch();
    expect(growth.points.map(({ day, meanUm, place, sample }) => [day, meanUm?.estimate, place, sample.id])).toEqual([
      [2, 72, 'within', ids.get('day 2 1-1')],
      [4, 97, 'within', ids.get('day 4 1-1')],
    ]);
    expect(growth.temperatureC).toBe(26);
  });

  it('has the shares of stages of every count, dead ones too', async () => {
    const { counts } = await batch();
    expect(counts.map(({ shares }) => shares.map(({ stage, animals }) => [stage, animals]))).toEqual([
      [
        ['d-larva', 1500],
        ['dead', 10],
      ],
      [['umbo', 600]],
    ]);
  });

  it('balances, and each line names the moves that it is added up from', async () => {
    const { balance } = await batch();
    expect(balance.lines.map(({ line, animals, moves }) => [line, animals.estimate, moves])).toEqual([
      ['stocked', 1_000_000, [ids.get('stocked')]],
      ['movedOut', 150_000, [ids.get('split')]],
      ['culled', 100_000, [ids.get('cull')]],
    ]);
    expect([balance.unexplained?.estimate, balance.verdict]).toEqual([expect.closeTo(550_000, 3), 'loss']);
    expect(balance.counts.map(({ sample }) => sample.id)).toEqual([ids.get('day 4 1-1')]);
  });

  it('goes back to its broodstock: one female and one male are two effective breeders', async () => {
    const { pedigree } = await batch();
    // 4 Nm Nf/(Nm + Nf), Wright 1931
    expect(pedigree.effectiveBreeders).toBe(2);
    expect([pedigree.dams[0]?.name, pedigree.sires[0]?.id]).toEqual(['N-01', ids.get('E-17')]);
  });

  it('tells everything that happened, each line with its entry', async () => {
    const { timeline } = await batch();
    expect(timeline.map(({ kind, entries }) => [kind, entries[0]?.id])).toEqual([
      ['spawn', ids.get('Spawn 1')],
      ['cross', ids.get('X1')],
      ['batch-begun', expect.any(String)],
      ['stocked', ids.get('stocked')],
      ['counted', ids.get('day 2 1-1')],
      ['culled', ids.get('cull')],
      ['split', ids.get('split')],
      ['water', ids.get('water')],
      ['fed', ids.get('fed')],
      ['counted', ids.get('day 4 1-1')],
    ]);
    expect(timeline.find(({ kind }) => kind === 'culled')?.facts).toEqual([{ what: 'screen', number: 35 }]);
  });

  it('names the figures it used with their sources', async () => {
    const { figures } = await batch();
    expect(figures.map(({ name }) => name)).toContain('growth.slow');
    expect(figures.every(({ source }) => source !== '')).toBe(true);
  });

  it('is there before anything is known of it, and not when there is none', async () => {
    const { now, growth, balance, survival } = await batch('Later');
    expect([now, growth.points, balance.alive, survival.overall]).toEqual([[], [], null, null]);
    expect((await at.send('GET', `${BASE}/season/batches/none`, { cookie })).status).toBe(404);
  });

  it('goes out as CSV: a line for each thing, with who said it and where it stands', async () => {
    const sent = await at.send('GET', `${BASE}/season/batches/${ids.get('A') ?? ''}/history.csv`, { cookie });
    expect(sent.headers.get('Content-Disposition')).toContain('A-history.csv');
    const lines = sent.text.trim().split('\n');
    expect([lines.length, lines[0]]).toEqual([11, 'at,what,batch,tank,animals,low,high,text,by,photos,entries']);
    const culled = `2026-05-06T11:00:00.000Z,culled,A,1-1,100000,100000,100000,35 um screen,Ana,,move ${ids.get('cull') ?? ''}`;
    expect(lines[6]).toBe(culled);
  });
});

describe('the list of batches', () => {
  it('says what each is now', async () => {
    const { batches } = await get<{ batches: BatchLine[] }>('/season/batches');
    expect(batches.map(({ batch: { name }, state, tanks }) => [name, state, tanks.map((tank) => tank.name)])).toEqual([
      ['A', 'in-tanks', ['1-1', '1-2']],
      ['Later', 'not-stocked', []],
    ]);
    expect(batches[0]?.lastCount).toMatchObject({ stage: 'umbo', sample: { id: ids.get('day 4 1-1') } });
    expect(batches[0]?.survival?.estimate).toBeCloseTo(0.4, 9);
  });
});

describe('a tank', () => {
  it('shows counts beside what was expected, and all that was done with it', async () => {
    const tank = await get<TankSeason>(`/season/tanks/${ids.get('1-1') ?? ''}`);
    expect(tank.now?.batch.name).toBe('A');
    expect(tank.counts.map(({ expected, alive }) => [expected.estimate, alive.estimate].map(Math.round))).toEqual([
      [1_000_000, 500_000],
      [250_000, 200_000],
    ]);
    expect(tank.timeline.map(({ kind }) => kind)).toEqual([
      'stocked',
      'counted',
      'culled',
      'split',
      'water',
      'fed',
      'counted',
    ]);
    const other = await get<TankSeason>(`/season/tanks/${ids.get('1-2') ?? ''}`);
    expect(other.timeline.map(({ kind, entries }) => [kind, entries[0]?.id])).toEqual([['split', ids.get('split')]]);
    expect((await at.send('GET', `${BASE}/season/tanks/none`, { cookie })).status).toBe(404);
  });
});

describe('an entry', () => {
  it('is shown as it stands with all that was said of it, as it would be typed', async () => {
    const path = `/entries/move/${ids.get('cull') ?? ''}`;
    const body = { version: 1, changes: { number: '90000' }, why: 'read the wrong line' };
    await at.send('POST', `${BASE}${path}/correct`, { cookie, json: body });
    const entry = await get<StandingEntry>(path);
    expect([entry.version, entry.fields]).toEqual([
      2,
      { at: '2026-05-06T11:00:00.000Z', number: '90000', low: '', high: '', screen_um: '35', place: '', note: '' },
    ]);
    expect(entry.versions.map(({ by, why, fields }) => [by, why, fields['number']])).toEqual([
      ['Ana', null, '100000'],
      ['Ana', 'read the wrong line', '90000'],
    ]);
    expect((await at.send('GET', `${BASE}/entries/move/none`, { cookie })).status).toBe(404);
    expect((await at.send('GET', `${BASE}/entries/wish/none`, { cookie })).status).toBe(400);
  });
});
