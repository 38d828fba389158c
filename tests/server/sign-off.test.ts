import { afterEach, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import type { PhotoCount } from '@veligrid/model';
import {
  addCounted,
  asAna,
  asBen,
  begin,
  countFor,
  newSample,
  photoForm,
  smallPhoto,
  startTestServer,
  type Got,
  type TestServer,
} from './support.ts';

let server: TestServer;
let path = '';
let photos: string[] = [];

async function start(fillings: readonly number[] = [1, 2], seen?: (id: string) => PhotoCount): Promise<void> {
  server = await startTestServer();
  const sample = await begin(server, Math.max(...fillings));
  photos = await addCounted(server, sample, fillings, seen);
  path = `${BASE}/samples/${sample}`;
}
afterEach(() => server.close());

const order = async (): Promise<number> => (await server.send('GET', `${path}/decisions`)).json.order as number;
const lookAt = async (photo: string, cookie = asAna): Promise<Got> =>
  server.send('PUT', `${BASE}/photos/${photo}/looked-at`, { cookie, json: { order: await order() } });
const signOff = async (): Promise<Got> =>
  server.send('POST', `${path}/sign-off`, { cookie: asAna, json: { order: await order() } });
async function signAll(): Promise<Got> {
  for (const photo of photos) await lookAt(photo);
  return signOff();
}
const decide = async (decision: object): Promise<Got> =>
  server.send('POST', `${path}/decisions`, {
    cookie: asBen,
    json: { expectedOrder: await order(), decisions: [decision] },
  });

describe('before signing off', () => {
  it('figures are a proposal without limits that says so, and what is missing', async () => {
    await start();
    // 4 of 5 larvae whole, in 2 squares of 1 mm3 on each of two slides: 8 in 0.004 mL, from 10 L
    const { json } = await server.send('GET', `${path}/proposal`);
    expect(json).toMatchObject({ notSignedOff: true, animals: 8, byStage: { unsure: 8 }, why: null });
    expect(json.lookedAtMl).toBeCloseTo(0.004, 12);
    expect(json.densityPerMl).toBeCloseTo(2000, 6);
    expect(json.total).toBeCloseTo(2e7, 2);
    expect(json.missing).toEqual(['Not signed off yet: IMG_1.png, IMG_2.png.']);
  });

  it('nothing can be taken away as a result', async () => {
    await start();
    for (const ending of ['csv', 'xlsx', 'json']) {
      expect((await server.send('GET', `${path}/result.${ending}`)).json).toMatchObject({
        status: 409,
        kind: 'not-signed-off',
      });
    }
    expect((await server.send('GET', `${path}/results`)).json).toEqual({ results: [] });
  });

  it('every photo that counts must be looked at', async () => {
    await start();
    await lookAt(photos[0]);
    expect((await signOff()).json).toMatchObject({ status: 409, detail: 'Not signed off yet: IMG_2.png.' });
    await decide({ id: 'r', kind: 'reject-photo', photo: photos[1], reason: 'hazy' });
    expect((await signOff()).status).toBe(201);
  });

  it('a photo decided on since is not looked at any more, another one still is', async () => {
    await start();
    await lookAt(photos[0]);
    await lookAt(photos[1]);
    await decide({ id: '1', kind: 'relabel', photo: photos[0], object: 'a', stage: 'umbo' });
    const states = (await server.send('GET', `${path}/photos`)).json.photos as { lookedAt: unknown }[];
    expect(states.map(({ lookedAt }) => lookedAt !== null)).toEqual([false, true]);
    await decide({ id: '2', kind: 'undo', decision: '1' });
    const stale = await server.send('PUT', `${BASE}/photos/${photos[0]}/looked-at`, {
      cookie: asAna,
      json: { order: 1 },
    });
    expect(stale.json).toMatchObject({ status: 409, kind: 'conflict', order: 2 });
    // the other photo may be signed with what was seen before: nothing was decided on it
    const other = await server.send('PUT', `${BASE}/photos/${photos[1]}/looked-at`, {
      cookie: asAna,
      json: { order: 0 },
    });
    expect(other).toMatchObject({ status: 200, json: { lookedAt: { by: 'Ana', order: 2 } } });
  });

  it('a photo still being counted stands in the way', async () => {
    await start();
    const form = photoForm({ 'late.png': await smallPhoto(99) });
    const { json } = await server.send('POST', `${path}/photos`, { cookie: asAna, form });
    expect((await signAll()).json.detail).toBe('Still being counted: 1 photos.');
    const [{ id }] = json.photos as { id: string }[];
    expect((await lookAt(id)).json).toMatchObject({
      status: 409,
      detail: 'late.png is not counted yet. Wait until it is.',
    });
    await server.send('POST', `${BASE}/photos/${id}/cancel`, { cookie: asAna });
    const done = await signOff();
    expect(done.status).toBe(201);
    expect((done.json.cautions as { code: string }[]).map(({ code }) => code)).toContain('photos-left-out');
  });

  it('without a scale there is no volume, which is said instead of a figure', async () => {
    await start([1], (id) => {
      const count = countFor(id);
      const shape = { kind: 'field' as const, boxPx: [0, 0, 199, 99] as const };
      return { ...count, grid: null, counting: { ...count.counting, shape, areaMm2: null } };
    });
    const why = 'IMG_1.png has no scale, so its area is not known. Give the scale in a new sample.';
    expect((await server.send('GET', `${path}/proposal`)).json).toMatchObject({
      animals: 4,
      densityPerMl: null,
      total: null,
      why,
    });
    expect((await signAll()).json).toMatchObject({ status: 409, detail: why });
  });
});

describe('signing off', () => {
  it('makes totals with limits from the stored decisions', async () => {
    await start();
    await decide({ id: '1', kind: 'relabel', photo: photos[0], object: 'a', stage: 'umbo' });
    await decide({ id: '2', kind: 'relabel', photo: photos[0], object: 'b', stage: 'empty-shell' });
    const { status, json } = await signAll();
    expect(status).toBe(201);
    expect(json).toMatchObject({
      signedOff: { by: 'Ana' },
      reopened: null,
      countingRule: 'centroid',
      rulesVersion: '1',
      decisions: 2,
      animals: 8,
    });
    expect(json.all.total.estimate).toBeCloseTo(2e7, 2);
    // exact limits of 8 counted: 3.4538 and 15.7632 (Garwood 1936, Biometrika 28:437, as printed in tables of Poisson limits)
    expect(json.all.countingErrorAlone.low / 2e7).toBeCloseTo(3.4538 / 8, 4);
    expect(json.all.countingErrorAlone.high / 2e7).toBeCloseTo(15.7632 / 8, 4);
    expect(json.all.total.low).toBeLessThan(json.all.countingErrorAlone.low as number);
    expect(json.alive.total.estimate).toBeCloseTo((7 / 8) * 2e7, 2);
    const shares = json.shares as { stage: string; animals: number; share: { estimate: number } }[];
    expect(shares.map(({ stage, animals }) => [stage, animals])).toEqual([
      ['umbo', 1],
      ['empty-shell', 1],
      ['unsure', 6],
    ]);
    expect(shares[2].share.estimate).toBeCloseTo(0.75, 12);
    // all found larvae of the test are 80 um long
    expect(json.lengths).toMatchObject({ measured: 8, leftOut: 0 });
    expect(json.lengths.percentiles[1]).toEqual({ percent: 50, lengthUm: 80 });
  });

  it('brings volumes of dilutions into the total', async () => {
    server = await startTestServer();
    const tank = await server.send('POST', `${BASE}/tanks`, { cookie: asAna, json: { name: '1' } });
    const steps = [{ takenMl: 10, madeUpToMl: 100 }];
    const json = { ...newSample((tank.json as { id: string }).id), fillings: [{ steps, wholeSlideMl: null }] };
    const sample = (await server.send('POST', `${BASE}/samples`, { cookie: asAna, json })).json.id as string;
    photos = await addCounted(server, sample);
    path = `${BASE}/samples/${sample}`;
    // 4 in 0.002 mL of a tenth: 20,000 per mL
    expect((await signAll()).json.all.densityPerMl.estimate).toBeCloseTo(20_000, 6);
  });

  it('counts only the squares that were chosen', async () => {
    await start([1]);
    await decide({ id: '1', kind: 'choose-squares', photo: photos[0], squares: ['B1'] });
    const { json } = await signAll();
    // 1 in 1 uL
    expect(json).toMatchObject({ animals: 1 });
    expect(json.all.densityPerMl.estimate).toBeCloseTo(1000, 6);
  });

  it('is refused when somebody decided since', async () => {
    await start([1]);
    await lookAt(photos[0]);
    await decide({ id: '1', kind: 'note', photo: photos[0], text: 'late' });
    const got = await server.send('POST', `${path}/sign-off`, { cookie: asAna, json: { order: 0 } });
    expect(got.json).toMatchObject({ status: 409, kind: 'conflict', order: 1 });
  });

  it('closes the count until it is opened again with a reason; both stay', async () => {
    await start([1]);
    const first = (await signAll()).json;
    expect((await server.send('GET', path)).json.state).toBe('signed-off');
    expect((await decide({ id: '1', kind: 'remove', photo: photos[0], object: 'a' })).json).toMatchObject({
      status: 409,
      kind: 'refused',
      detail: 'Ana signed this count off. Open it again first, with a reason.',
    });
    expect(
      (
        await server.send('POST', `${path}/photos`, {
          cookie: asAna,
          form: photoForm({ 'x.png': await smallPhoto(50) }),
        })
      ).status,
    ).toBe(409);
    const reopen = (json: object): Promise<Got> => server.send('POST', `${path}/reopen`, { cookie: asBen, json });
    expect((await reopen({})).status).toBe(400);
    expect((await reopen({ reason: 'wrong bucket' })).json).toMatchObject({
      id: first.id,
      reopened: { by: 'Ben', reason: 'wrong bucket' },
    });
    expect((await reopen({ reason: 'again' })).status).toBe(409);
    expect((await server.send('GET', `${path}/result.csv`)).status).toBe(409);
    await decide({ id: '1', kind: 'remove', photo: photos[0], object: 'a' });
    expect((await signAll()).json.animals).toBe(3);
    const { results } = (await server.send('GET', `${path}/results`)).json as {
      results: { animals: number; reopened: unknown }[];
    };
    expect(results.map(({ animals, reopened }) => [animals, reopened !== null])).toEqual([
      [4, true],
      [3, false],
    ]);
  });

  it('can not be done with a count that the browser sends', async () => {
    await start([1]);
    await lookAt(photos[0]);
    const json = { order: 0, confirmed: { photos: [] } };
    expect((await server.send('POST', `${path}/sign-off`, { cookie: asAna, json })).status).toBe(400);
  });
});

describe('the audit', () => {
  it('draws one square in five, always the same, the first of them blind', async () => {
    const names = Array.from({ length: 12 }, (_, i) => `A${String(i + 1)}`);
    await start([1], (id) => {
      const count = countFor(id);
      const [square] = count.grid?.squares ?? [];
      const grid = count.grid && { ...count.grid, squares: names.map((name) => ({ ...square, name })) };
      return { ...count, grid, counting: { ...count.counting, shape: { kind: 'squares', squares: names } } };
    });
    const audit = async (): Promise<Got> => server.send('GET', `${BASE}/photos/${photos[0]}/audit`);
    const { squares } = (await audit()).json as { squares: { name: string; blind: boolean; tally: unknown }[] };
    expect(squares.map(({ blind, tally }) => [blind, tally])).toEqual([
      [true, null],
      [false, null],
      [false, null],
    ]);
    expect(new Set(squares.map(({ name }) => name)).size).toBe(3);
    expect((await audit()).json.squares).toEqual(squares);
    const tally = (square: string, animals: number): Promise<Got> =>
      server.send('PUT', `${BASE}/photos/${photos[0]}/audit/${square}`, { cookie: asBen, json: { animals } });
    const other = names.find((name) => !squares.some((one) => one.name === name)) ?? '';
    expect((await tally(other, 3)).status).toBe(404);
    expect((await tally(squares[0].name, -1)).status).toBe(400);
    expect((await tally(squares[0].name, 3)).json.squares[0]).toMatchObject({ tally: { animals: 3, by: 'Ben' } });
  });

  it('is part of the result when two squares or more were tallied, and missing squares are said', async () => {
    await start();
    const open = await signAll();
    expect(open.json.audit).toBeNull();
    expect((open.json.cautions as { code: string }[]).map(({ code }) => code)).toContain('audit-not-done');
    await server.send('POST', `${path}/reopen`, { cookie: asAna, json: { reason: 'audit' } });
    let seen = 0;
    for (const photo of photos) {
      const { squares } = (await server.send('GET', `${BASE}/photos/${photo}/audit`)).json as {
        squares: { name: string }[];
      };
      // one larva more than found: 3 in A1, 1 in B1
      for (const { name } of squares) {
        const animals = (name === 'A1' ? 3 : 1) + 1;
        await server.send('PUT', `${BASE}/photos/${photo}/audit/${name}`, { cookie: asBen, json: { animals } });
        seen += 1;
      }
    }
    const { audit, cautions } = (await signAll()).json as {
      audit: { difference: { estimate: number } };
      cautions: { code: string }[];
    };
    // 8 found in 4 squares, each with one more: 12
    expect(audit).toMatchObject({ squares: 4, audited: seen, difference: { estimate: 12 } });
    expect(cautions.map(({ code }) => code)).not.toContain('audit-not-done');
  });
});

describe('a signed-off result', () => {
  it('is taken away as CSV with units in its header and no formula', async () => {
    server = await startTestServer();
    const tank = await server.send('POST', `${BASE}/tanks`, { cookie: asAna, json: { name: '=HYPERLINK("x")' } });
    const sample = await server.send('POST', `${BASE}/samples`, {
      cookie: asAna,
      json: newSample((tank.json as { id: string }).id),
    });
    photos = await addCounted(server, sample.json.id as string);
    path = `${BASE}/samples/${String(sample.json.id)}`;
    await signAll();
    const { text, headers } = await server.send('GET', `${path}/result.csv`);
    const [head, first, ...rest] = text.trim().split('\n');
    expect(head).toBe(
      'photo,filling,square,object,stage,form,length_um,height_um,measurable,tank,batch,taken_at,signed_off_by,signed_off_at',
    );
    expect(first).toMatch(
      /^IMG_1\.png,1,A1,a,unsure,not-judged,80,70,true,"'=HYPERLINK\(""x""\)",,20\d\d-.*Z,Ana,20\d\d-.*Z$/,
    );
    expect(rest).toHaveLength(3);
    expect(headers.get('Content-Disposition')).toMatch(
      /^attachment; filename="?-HYPERLINK-x--20\d\d-\d\d-\d\d\.csv"?$/,
    );
  });

  it('is taken away as a spreadsheet and as JSON', async () => {
    await start([1]);
    await signAll();
    const book = await fetch(`${server.url}${path}/result.xlsx`);
    const bytes = Buffer.from(await book.arrayBuffer());
    expect(book.headers.get('Content-Type')).toBe('application/vnd.openxmlformats-officedocument.spreadsheetml.sheet');
    expect(bytes.subarray(0, 2).toString()).toBe('PK');
    expect(bytes.includes('xl/worksheets/sheet2.xml')).toBe(true);
    const { json } = await server.send('GET', `${path}/result.json`);
    expect(json).toMatchObject({ result: { animals: 4 }, sample: { state: 'signed-off' }, decisions: [] });
    expect(json.objects).toHaveLength(4);
  });
});
