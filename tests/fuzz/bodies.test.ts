import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { keepPlan } from '@veligrid/season';
import { addCounted, newSample, photoForm, smallPhoto, startTestServer, type TestServer } from '../server/support.ts';
import { casesOf, chooseBy } from './choose.ts';
import { WITH_BODY, wrongRequest, type WrongRequest } from './wrong-request.ts';

const SEED = 20_261_128;
const CASES = casesOf('VELIGRID_FUZZ_BODIES', 150);

/** What only the inside of the program knows: frames of a stack, its folders, its database's words. */
const LEAK = /\n\s+at |node_modules|veligrid-server-|\.(ts|js):\d+|SQLITE|sqlite|libsql|ENOENT|EACCES/;

const STOCKING = { kind: 'stocking', stage: 'umbo', tanks: [{ name: 'T', volumeMl: 1e6, larvae: 5e6 }] };

let at: TestServer;
let cookie = '';
const known: Record<string, unknown[]> = {};

interface Told {
  readonly status: number;
  readonly text: string;
  readonly headers: Headers;
}

async function send(request: WrongRequest): Promise<Told> {
  const { method, path, ifMatch, wire } = request;
  const etag = ifMatch ? (await at.send('GET', path, { cookie })).headers.get('ETag') : null;
  const sending = {
    method,
    headers: {
      'Sec-Fetch-Site': 'same-origin',
      Cookie: cookie,
      ...(etag === null ? {} : { 'If-Match': etag }),
      ...wire?.headers,
    },
    ...(wire === null || method === 'GET' ? {} : { body: wire.body }),
    redirect: 'manual' as const,
  };
  // a kept connection may end just when it is used again: once more on a new one
  const again = { ...sending, headers: { ...sending.headers, Connection: 'close' } };
  const answer = await fetch(at.url + path, sending).catch(() => fetch(at.url + path, again));
  return { status: answer.status, text: await answer.text(), headers: answer.headers };
}

/** What is wrong with an answer; null when nothing is. */
function faultOf({ status, text, headers }: Told): string | null {
  if (status >= 500) return `status ${String(status)}`;
  if (LEAK.test(text)) return 'tells what only the program knows';
  if (headers.get('X-Content-Type-Options') !== 'nosniff') return 'lets the browser guess what it is';
  if (status < 400) return null;
  const type = headers.get('Content-Type') ?? '';
  if (!type.startsWith('application/problem+json')) return `a refusal as ${type}`;
  return typeof (JSON.parse(text) as { detail?: unknown }).detail === 'string' ? null : 'a refusal without words';
}

/** Notes the number of decisions, so that later requests may be taken. */
function learn({ status, text }: Told): void {
  if (status >= 400 || !text.startsWith('{')) return;
  const { order } = JSON.parse(text) as { order?: unknown };
  if (typeof order === 'number') known['order'] = known['expectedOrder'] = [order];
}

beforeAll(async () => {
  at = await startTestServer();
  const sent = { cookie: 'veligrid-name=Ana' };
  const tank = await at.send('POST', `${BASE}/tanks`, { ...sent, json: { name: 'Tank 1' } });
  const tankId = (tank.json as { id: string }).id;
  const samples: string[] = [];
  for (let i = 0; i < 3; i += 1) {
    const sample = await at.send('POST', `${BASE}/samples`, { ...sent, json: newSample(tankId, 2) });
    samples.push((sample.json as { id: string }).id);
  }
  const photos = await addCounted(at, samples[0], [1, 2]);
  const batch = await at.send('POST', `${BASE}/batches`, { ...sent, json: { name: 'A', species: 'pacific-oyster' } });
  const form = new FormData();
  form.append('shows', 'points');
  form.append('picture', new Blob([new Uint8Array(await smallPhoto(3))]), 'ruler.png');
  const picture = await at.send('POST', `${BASE}/calibration-pictures`, { ...sent, form });
  await at.send('POST', `${BASE}/samples/${samples[1]}/photos`, {
    ...sent,
    form: photoForm({ 'b.png': await smallPhoto(9) }),
  });
  const culture = await at.house.store.cultures.add(
    { name: 'T-4', species: 'Tisochrysis lutea', note: '', active: true },
    { by: 'test' },
  );
  const staff = await at.house.store.staff.add(
    { name: 'Bo', role: 'counter', passwordHash: 'x', active: true },
    { by: 'test' },
  );
  const said = { by: 'test' };
  const animal = await at.house.store.broodstock.add(
    {
      name: 'N-1',
      species: 'pacific-oyster',
      line: '',
      origin: '',
      selectedFor: '',
      sex: 'both',
      note: '',
      active: true,
    },
    said,
  );
  const when = '2026-05-04T07:00:00.000Z';
  const spawn = await at.house.store.spawns.append(
    {
      ...{ name: 'S', species: 'pacific-oyster', happenedAt: when, endedAt: null },
      ...{ ambientC: null, raisedC: null, cue: '', note: '' },
    },
    said,
  );
  const hash = (picture.json as { hash: string }).hash;
  const plan = await keepPlan(at.house.store, { question: STOCKING, sampleId: null, by: 'test', program: 'x' });
  Object.assign(known, {
    tank: [tankId],
    culture: [culture.id],
    batch: [(batch.json as { id: string }).id],
    sample: samples,
    photo: photos,
    object: ['a', 'b', 'c', 'd', 'e'],
    objects: ['a', 'b', 'c', 'd', 'e'],
    squares: ['A1', 'B1'],
    square: ['A1', 'B1'],
    decision: ['first'],
    picture: [hash],
    hash: [hash],
    page: [1],
    level: [0, 3],
    column: [0],
    row: [0],
    species: ['pacific-oyster', 'eastern-oyster'],
    version: ['1'],
    spawn: [spawn.id],
    dams: [animal.id],
    sires: [animal.id],
    staff: [staff.id],
    plan: [plan.id],
    figure: ['stocking.umbo.per-ml', 'growth.slow'],
    question: [STOCKING],
    filling: [1, 2],
    order: [0],
    expectedOrder: [0],
    file: [await smallPhoto(77)],
  });
  cookie = await at.signedIn('manager');
});
afterAll(() => at.close());

describe(`${String(CASES)} requests made from the published description and spoiled`, () => {
  it('are each answered or refused in words, and the server goes on', { timeout: 1_800_000 }, async () => {
    const faults: string[] = [];
    const byStatus: Record<string, number> = {};
    for (let i = 0; i < CASES; i += 1) {
      const choose = chooseBy(SEED + i);
      const request = wrongRequest(choose, known);
      const told = await send(request);
      byStatus[told.status] = (byStatus[told.status] ?? 0) + 1;
      const fault = faultOf(told);
      if (fault !== null) {
        const body = request.wire === null ? '' : Buffer.from(request.wire.body).toString().slice(0, 300);
        faults.push(
          `case ${String(i)} ${request.name} ${request.path.slice(0, 200)} ${body}: ${fault} ${told.text.slice(0, 300)}`,
        );
      }
      learn(told);
      // a request may have signed this person out
      if (told.status === 401 || request.name === 'signOut') cookie = await at.signedIn('manager');
    }
    process.stdout.write(`bodies by status: ${JSON.stringify(byStatus)}\n`);
    expect(faults).toEqual([]);
    expect(at.faults).toEqual([]);
    expect((await at.send('GET', `${BASE}/samples`, { cookie })).status).toBe(200);
    // were nothing taken at all, only the first check of each request would be tried
    const taken = (byStatus['200'] ?? 0) + (byStatus['201'] ?? 0);
    expect(taken).toBeGreaterThan(CASES / 50);
    expect(byStatus['400'] ?? 0).toBeGreaterThan(CASES / 4);
    expect(await at.house.store.check()).toEqual([]);
  });

  it('come from every operation that takes a body', () => {
    const names = Array.from(
      { length: 500 },
      (_, i) => wrongRequest(chooseBy(SEED + i), { file: [new Uint8Array(1)] }).name,
    );
    for (const { operation } of WITH_BODY) expect(names).toContain(operation.operationId);
  });
});
