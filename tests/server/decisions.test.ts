import { afterEach, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { addCounted, asAna, asBen, begin, startTestServer, type Got, type TestServer } from './support.ts';

let server: TestServer;
let path = '';
let photo = '';

async function start(): Promise<void> {
  server = await startTestServer();
  const sample = await begin(server);
  [photo] = await addCounted(server, sample);
  path = `${BASE}/samples/${sample}`;
}
afterEach(() => server.close());

const decide = (cookie: string, expectedOrder: number, ...decisions: object[]): Promise<Got> =>
  server.send('POST', `${path}/decisions`, { cookie, json: { expectedOrder, decisions } });

const relabel = (id: string, object: string, stage: string): object => ({ id, kind: 'relabel', photo, object, stage });
const stagesNow = async (): Promise<Record<string, string>> => {
  const { json } = await server.send('GET', `${path}/view`);
  const [{ objects }] = json.photos as { objects: { id: string; stage: string }[] }[];
  return Object.fromEntries(objects.map(({ id, stage }) => [id, stage]));
};
const log = async (after = 0): Promise<string[]> =>
  (
    (await server.send('GET', `${path}/decisions?after=${String(after)}`)).json.decisions as {
      id: string;
      by: string;
    }[]
  ).map(({ id, by }) => `${by} ${id}`);

describe('decisions', () => {
  it('are stored with who and when, which the sender can not say', async () => {
    await start();
    const got = await decide(asAna, 0, relabel('1', 'a', 'umbo'));
    expect(got).toMatchObject({ status: 201, json: { order: 1, newer: [] } });
    expect(got.json.stored).toMatchObject([{ id: '1', kind: 'relabel', photo, object: 'a', stage: 'umbo', by: 'Ana' }]);
    expect(Math.abs(Date.parse(got.json.stored[0].at as string) - Date.now())).toBeLessThan(60_000);
    expect((await decide(asAna, 1, { ...relabel('2', 'a', 'eyed'), by: 'Ben' })).status).toBe(400);
    expect((await stagesNow())['a']).toBe('umbo');
    const view = await server.send('GET', `${path}/view`);
    expect(
      (await server.send('GET', `${path}/view`, { headers: { 'If-None-Match': view.headers.get('ETag') ?? '' } }))
        .status,
    ).toBe(304);
  });

  it('sent again because an answer was lost are stored once', async () => {
    await start();
    await decide(asAna, 0, relabel('1', 'a', 'umbo'));
    const again = await decide(asAna, 0, relabel('1', 'a', 'umbo'), relabel('2', 'b', 'umbo'));
    expect(again).toMatchObject({ status: 201, json: { order: 2, newer: [], stored: [{ id: '1' }, { id: '2' }] } });
    expect(await log()).toEqual(['Ana 1', 'Ana 2']);
    expect(await log(1)).toEqual(['Ana 2']);
  });

  it('of two people on different larvae are both kept, and each learns of the other', async () => {
    await start();
    await decide(asAna, 0, relabel('a1', 'a', 'umbo'));
    const ben = await decide(asBen, 0, relabel('b1', 'b', 'eyed'));
    expect(ben).toMatchObject({
      status: 201,
      json: { order: 2, newer: [{ id: 'a1', by: 'Ana' }], stored: [{ id: 'b1' }] },
    });
    expect(await stagesNow()).toMatchObject({ a: 'umbo', b: 'eyed' });
  });

  it('of two people that clash are refused with both shown, and nothing of the second is stored', async () => {
    await start();
    await decide(asAna, 0, relabel('a1', 'a', 'umbo'));
    const ben = await decide(asBen, 0, relabel('b0', 'c', 'eyed'), relabel('b1', 'a', 'eyed'));
    expect(ben.json).toMatchObject({
      status: 409,
      kind: 'conflict',
      order: 1,
      newer: [{ id: 'a1', by: 'Ana', stage: 'umbo' }],
      conflicts: [
        {
          mine: { id: 'b1', by: 'Ben', stage: 'eyed' },
          theirs: { id: 'a1' },
          reason: 'Both decided on a, and not the same.',
        },
      ],
    });
    expect(await log()).toEqual(['Ana a1']);
    // having looked at theirs, Ben decides again
    expect((await decide(asBen, 1, relabel('b2', 'a', 'eyed'))).status).toBe(201);
    expect((await stagesNow())['a']).toBe('eyed');
  });

  it('on a larva that somebody removed meanwhile are a conflict, not a fault', async () => {
    await start();
    await decide(asAna, 0, { id: 'a1', kind: 'remove', photo, object: 'a' });
    expect((await decide(asBen, 0, relabel('b1', 'a', 'eyed'))).json).toMatchObject({ status: 409, kind: 'conflict' });
    expect((await decide(asBen, 1, relabel('b1', 'a', 'eyed'))).json).toMatchObject({
      status: 400,
      kind: 'bad-request',
    });
  });

  it('can be undone and redone across requests', async () => {
    await start();
    await decide(asAna, 0, relabel('1', 'a', 'umbo'));
    await decide(asAna, 1, { id: '2', kind: 'undo', decision: '1' });
    expect((await stagesNow())['a']).toBe('unsure');
    await decide(asAna, 2, { id: '3', kind: 'redo', decision: '1' });
    expect((await stagesNow())['a']).toBe('umbo');
    expect((await decide(asAna, 3, { id: '4', kind: 'undo', decision: 'none' })).status).toBe(400);
  });

  it('of every kind are taken', async () => {
    await start();
    const outline = [
      [10, 10],
      [20, 10],
      [20, 20],
    ];
    const drawn = (id: string): object => ({ id, outline, stage: 'umbo' });
    const got = await decide(
      asAna,
      0,
      { id: '1', kind: 'form', photo, object: 'a', form: 'abnormal' },
      { id: '2', kind: 'redraw', photo, object: 'b', outline },
      { id: '3', kind: 'add', photo, drawn: drawn('n1') },
      { id: '4', kind: 'split', photo, object: 'c', into: [drawn('n2'), drawn('n3')] },
      { id: '5', kind: 'join', photo, objects: ['n2', 'n3'], into: drawn('n4') },
      { id: '6', kind: 'choose-squares', photo, squares: ['A1'] },
      { id: '7', kind: 'note', photo, text: 'hazy' },
      { id: '8', kind: 'remove', photo, object: 'd' },
      { id: '9', kind: 'reject-photo', photo, reason: 'out of focus' },
    );
    expect(got.status).toBe(201);
    const { json } = await server.send('GET', `${path}/view`);
    expect(json.photos[0]).toMatchObject({
      rejected: 'out of focus',
      squares: ['A1'],
      notes: [{ text: 'hazy', by: 'Ana' }],
    });
    expect((json.photos[0].objects as { id: string }[]).map(({ id }) => id)).toEqual(['a', 'b', 'e', 'n1', 'n4']);
  });

  it('name a counted photo of this sample and an order that was', async () => {
    await start();
    expect((await decide(asAna, 0, { ...relabel('1', 'a', 'umbo'), photo: 'other' })).status).toBe(404);
    expect((await decide(asAna, 5, relabel('1', 'a', 'umbo'))).json).toMatchObject({ status: 400 });
    expect((await decide(asAna, 0, relabel('1', 'a', 'whale'))).json).toMatchObject({
      status: 400,
      kind: 'bad-request',
    });
    expect(await log()).toEqual([]);
  });

  it('of many people at the same moment are all kept in one order', async () => {
    await start();
    const objects = ['a', 'b', 'c', 'd'];
    const answers = await Promise.all(
      objects.map((object, i) => decide(`veligrid-name=P${String(i)}`, 0, relabel(`p${String(i)}`, object, 'umbo'))),
    );
    expect(answers.map(({ status }) => status)).toEqual([201, 201, 201, 201]);
    expect((await log()).toSorted()).toEqual(['P0 p0', 'P1 p1', 'P2 p2', 'P3 p3']);
    expect(new Set(answers.map(({ json }) => (json as { order: number }).order))).toEqual(new Set([1, 2, 3, 4]));
  });
});

describe('what is noted of a sample', () => {
  it('is changed against its ETag, and a conflict shows what is there', async () => {
    await start();
    const etag = (await server.send('GET', path)).headers.get('ETag') ?? '';
    const change = (json: object, headers: Record<string, string>): Promise<Got> =>
      server.send('PATCH', path, { cookie: asBen, json, headers });
    expect((await change({ note: 'x' }, {})).json).toMatchObject({ status: 428, kind: 'needs-if-match' });
    const changed = await change({ note: 'stirred twice', containerMl: 12_000 }, { 'If-Match': etag });
    expect(changed).toMatchObject({ status: 200, json: { note: 'stirred twice', containerMl: 12_000, revision: 2 } });
    expect((await change({ note: 'y' }, { 'If-Match': etag })).json).toMatchObject({
      status: 412,
      kind: 'changed-since',
      current: { note: 'stirred twice' },
    });
    expect(
      (await change({ species: 'hard-clam' }, { 'If-Match': changed.headers.get('ETag') ?? '' })).json,
    ).toMatchObject({
      status: 409,
      detail: 'The photos were counted with species as it is. Begin a new sample to change it.',
    });
  });

  it('keeps who corrected what, when, why, and what it was before', async () => {
    await start();
    const change = async (json: object): Promise<void> => {
      const etag = (await server.send('GET', path)).headers.get('ETag') ?? '';
      await server.send('PATCH', path, { cookie: asBen, json, headers: { 'If-Match': etag } });
    };
    await change({ containerMl: 12_000, why: 'The bucket was fuller' });
    server.later(60_000);
    await change({ fillings: [{ steps: [{ takenMl: 10, madeUpToMl: 100 }], wholeSlideMl: null }], why: 'Forgotten' });
    const { changes } = (await server.send('GET', `${path}/history`)).json;
    expect(changes).toMatchObject([
      {
        by: 'Ben',
        why: 'The bucket was fuller',
        changed: [{ what: 'containerMl', filling: null, before: 10_000, after: 12_000 }],
      },
      { why: 'Forgotten', changed: [{ what: 'steps', filling: 1, before: '', after: '10 / 100 mL' }] },
    ]);
    expect(Date.parse(changes[1].at) - Date.parse(changes[0].at)).toBeGreaterThanOrEqual(60_000);
  });

  it('its fillings are corrected and added to, not taken away', async () => {
    await start();
    const etag = (await server.send('GET', path)).headers.get('ETag') ?? '';
    const steps = [{ takenMl: 10, madeUpToMl: 100 }];
    const fillings = [
      { steps, wholeSlideMl: null },
      { steps: [], wholeSlideMl: null },
    ];
    const changed = await server.send('PATCH', path, {
      cookie: asAna,
      json: { fillings },
      headers: { 'If-Match': etag },
    });
    expect(changed.json.fillings).toEqual(fillings);
    const fewer = { cookie: asAna, json: { fillings: [] }, headers: { 'If-Match': changed.headers.get('ETag') ?? '' } };
    expect((await server.send('PATCH', path, fewer)).status).toBe(400);
    const one = { ...fewer, json: { fillings: [fillings[0]] } };
    expect((await server.send('PATCH', path, one)).status).toBe(409);
  });
});
