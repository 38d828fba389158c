import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE, type Backups, type CultureRecord, type TankRecord } from '@veligrid/api';
import { startTestServer, type TestServer } from './support.ts';

let at: TestServer;
const cookie = 'veligrid-name=Ana';

const send = (method: string, path: string, json?: object) =>
  at.send(method, BASE + path, json === undefined ? { cookie } : { cookie, json });
const enter = async (kind: string, fields: Record<string, string>): Promise<string> =>
  ((await send('POST', `/entries/${kind}`, { fields })).json as { id: string }).id;
const tanks = async (): Promise<TankRecord[]> =>
  ((await send('GET', '/tank-records')).json as { tanks: TankRecord[] }).tanks;

beforeAll(async () => {
  at = await startTestServer();
});
afterAll(() => at.close());

describe('tanks', () => {
  it('are renamed and measured anew; what was said before is kept, and nobody overwrites another', async () => {
    const tank = await enter('tank', { tank: '1-1', volume_l: '1000' });
    await enter('tank', { tank: '1-2' });
    const changed = await send('PATCH', `/tanks/${tank}`, { revision: 1, name: '1-1 b', volumeMl: 1_200_000 });
    expect(changed.status).toBe(200);
    const [first] = await tanks();
    expect(first).toMatchObject({ name: '1-1 b', volumeMl: 1_200_000, revision: 2 });
    expect(first?.history.map(({ name, volumeMl, by }) => [name, volumeMl, by])).toEqual([
      ['1-1', 1_000_000, 'Ana'],
      ['1-1 b', 1_200_000, 'Ana'],
    ]);
    expect((await send('PATCH', `/tanks/${tank}`, { revision: 1, name: '1-9' })).status).toBe(412);
    expect((await send('PATCH', `/tanks/${tank}`, { revision: 2, name: '1-2' })).json).toMatchObject({
      code: 'name-taken',
    });
  });

  it('are retired only when they are empty', async () => {
    await enter('batch', { batch: 'A' });
    const [first] = await tanks();
    const move = await enter('move', { kind: 'stock', to: '1-1 b', batch: 'A', number: '1000' });
    expect((await tanks())[0]?.holds?.name).toBe('A');
    const retire = { revision: 2, active: false };
    const refused = await send('PATCH', `/tanks/${first?.id ?? ''}`, retire);
    expect([refused.status, refused.json]).toMatchObject([409, { code: 'tank-not-empty' }]);
    await send('POST', `/entries/move/${move}/take-back`, { why: 'a trial' });
    expect((await send('PATCH', `/tanks/${first?.id ?? ''}`, retire)).status).toBe(200);
    expect((await tanks())[0]?.active).toBe(false);
  });
});

describe('cultures', () => {
  it('stand with their last readings, and the tally that a density rests on', async () => {
    await enter('culture', { culture: 'T-4', alga: 'Tisochrysis lutea' });
    await enter('culture', { culture: 'Y', alga: 'something green' });
    // 381 cells in nine squares of 1 mm, 0.1 mm deep, of a tenfold dilution: 381 / 0.0009 mL x 10
    const tally = { cells: '381', counted_ml: '0.0009', taken_ml: '1', made_up_to_ml: '10', litres: '195' };
    await enter('culture-reading', { culture: 'T-4', ...tally });
    const { cultures } = (await send('GET', '/cultures')).json as { cultures: CultureRecord[] };
    expect(cultures.map(({ name, fedAs }) => [name, fedAs])).toEqual([
      ['T-4', 't-iso'],
      ['Y', null],
    ]);
    expect(cultures[0]?.readings[0]?.cellsPerMl).toBeCloseTo((381 / 0.0009) * 10, 3);
    expect(cultures[0]?.readings[0]?.tally).toMatchObject({ cells: 381, steps: [{ takenMl: 1, madeUpToMl: 10 }] });
    const change = { revision: 1, active: false };
    expect((await send('PATCH', `/cultures/${cultures[1]?.id ?? ''}`, change)).status).toBe(200);
  });
});

describe('backups', () => {
  it('are made where the server was told to, and listed with the room that is taken', async () => {
    const without = await send('POST', '/backups', {});
    expect([without.status, without.json]).toMatchObject([409, { code: 'no-backup-folder' }]);
    const folder = mkdtempSync(join(tmpdir(), 'veligrid-backups-'));
    Object.assign(at.house, { backups: { folder, everyHours: 24, keep: 3 } });
    const { status, json } = await send('POST', '/backups', {});
    const { made, use, plan } = json as Backups;
    expect([status, made.length, plan?.keep]).toEqual([201, 1, 3]);
    expect(made[0]?.name).toMatch(/^veligrid-/);
    expect(use.database).toBeGreaterThan(0);
    rmSync(folder, { recursive: true, force: true });
  });
});
