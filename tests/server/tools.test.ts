import { afterEach, describe, expect, it } from 'vitest';
import { BASE, type CalibrationPicture } from '@veligrid/api';
import { planCount } from '@veligrid/jobs';
import type { PhotoCount } from '@veligrid/model';
import sharp from 'sharp';
import type { Raster } from '../../packages/imaging/src/raster.js';
import { drawnRuler } from '../imaging/ruler/drawn-ruler.js';
import {
  addCounted,
  asAna,
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
afterEach(() => server.close());

const DAY = 86_400_000;

type FoundLines = NonNullable<CalibrationPicture['found']>;

describe('calibrations', () => {
  const add = (source: object): Promise<Got> =>
    server.send('POST', `${BASE}/calibrations`, {
      cookie: asAna,
      json: { microscope: 'Bench 1', objective: '10x', source },
    });

  it('come from two points and a distance', async () => {
    server = await startTestServer();
    // 3-4-5: 500 px apart
    const got = await add({
      way: 'two-points',
      points: [
        [100, 100],
        [400, 500],
      ],
      distanceUm: 1000,
    });
    expect(got).toMatchObject({
      status: 201,
      json: {
        microscope: 'Bench 1',
        objective: '10x',
        umPerPx: 2,
        measuredOn: 'two points 1000 um apart',
        outOfDate: false,
        made: { by: 'Ana' },
      },
    });
    // two points of 0.7 px each
    expect(got.json.relativeStandardUncertainty).toBeCloseTo(0.99 / 500, 5);
    expect(
      (
        await add({
          way: 'two-points',
          points: [
            [0, 0],
            [99, 0],
          ],
          distanceUm: 100,
        })
      ).json,
    ).toMatchObject({
      status: 400,
      detail: 'The two points are less than 100 px apart. Set points farther apart.',
    });
  });

  it('grow old by the settings of the house, latest first in the list', async () => {
    server = await startTestServer();
    await add({ way: 'given', umPerPx: 1.5 });
    server.later(181 * DAY);
    await add({ way: 'given', umPerPx: 1.6 });
    const { calibrations } = (await server.send('GET', `${BASE}/calibrations`)).json as {
      calibrations: { umPerPx: number; outOfDate: boolean }[];
    };
    expect(calibrations.map(({ umPerPx, outOfDate }) => [umPerPx, outOfDate])).toEqual([
      [1.6, false],
      [1.5, true],
    ]);
  });

  it('are named by samples; a count made with one out of date says so', async () => {
    server = await startTestServer();
    const { id } = (await add({ way: 'given', umPerPx: 2 })).json as { id: string };
    server.later(200 * DAY);
    const tank = await server.send('POST', `${BASE}/tanks`, { cookie: asAna, json: { name: '1' } });
    const asked = { ...newSample((tank.json as { id: string }).id), scale: { kind: 'calibration', calibration: id } };
    const wrong = { ...asked, scale: { kind: 'calibration', calibration: 'none' } };
    expect((await server.send('POST', `${BASE}/samples`, { cookie: asAna, json: wrong })).status).toBe(404);
    const sample = (await server.send('POST', `${BASE}/samples`, { cookie: asAna, json: asked })).json.id as string;
    const [photo] = await addCounted(server, sample);
    expect((await server.house.store.photos.get(photo))?.calibrationId).toBe(id);
    await server.send('PUT', `${BASE}/photos/${photo}/looked-at`, { cookie: asAna, json: { order: 0 } });
    const { json } = await server.send('POST', `${BASE}/samples/${sample}/sign-off`, {
      cookie: asAna,
      json: { order: 0 },
    });
    expect((json.cautions as { code: string }[]).map(({ code }) => code)).toContain('calibration-out-of-date');
  });

  it('take a picture to set the points on', async () => {
    server = await startTestServer();
    const form = new FormData();
    form.append('shows', 'points');
    form.append('picture', new Blob([new Uint8Array(await smallPhoto(1))]), 'ruler.png');
    const got = await server.send('POST', `${BASE}/calibration-pictures`, { cookie: asAna, form });
    expect(got).toMatchObject({ status: 201, json: { widthPx: 200, heightPx: 100, found: null } });
    expect((await server.send('GET', got.json.picture as string)).status).toBe(200);
    const wrong = photoForm({ 'a.png': await smallPhoto(1) });
    expect((await server.send('POST', `${BASE}/calibration-pictures`, { cookie: asAna, form: wrong })).status).toBe(
      400,
    );
  });
});

describe('a picture of something of known size', () => {
  const sendPicture = async (raster: Raster, shows: string, divisionUm?: number): Promise<Got> => {
    const { width, height, data } = raster;
    const bytes = await sharp(Buffer.from(data), { raw: { width, height, channels: 3 } })
      .png()
      .toBuffer();
    const form = new FormData();
    form.append('shows', shows);
    if (divisionUm !== undefined) form.append('divisionUm', String(divisionUm));
    form.append('picture', new Blob([new Uint8Array(bytes)]), 'ruler.png');
    return server.send('POST', `${BASE}/calibration-pictures`, { cookie: asAna, form });
  };
  const accept = (picture: string): Promise<Got> =>
    server.send('POST', `${BASE}/calibrations`, {
      cookie: asAna,
      json: { microscope: 'Bench 1', objective: '10x', source: { way: 'picture', picture } },
    });

  it('gives the scale of its lines, and accepting takes what the server found', async () => {
    server = await startTestServer();
    // 12.5 px a division of 10 um: 0.8 um a pixel
    const sent = await sendPicture(drawnRuler({ division: 12.5 }), 'stage-micrometer', 10);
    expect(sent).toMatchObject({ status: 201, json: { why: null, found: { eyepieceRuler: null, warnings: [] } } });
    const { umPerPx, relativeStandardUncertainty, lines, quality } = sent.json.found as FoundLines;
    expect(Math.abs(umPerPx / 0.8 - 1)).toBeLessThan(0.001);
    expect(relativeStandardUncertainty).toBeLessThan(0.002);
    expect(quality.lines).toBeGreaterThan(50);
    // every line stands across the ruler, which lies along x
    for (const [[x1, y1], [x2, y2]] of lines) expect(Math.abs(x1 - x2)).toBeLessThan(0.1 * Math.abs(y1 - y2));
    const { status, json } = await accept(sent.json.id as string);
    expect(status).toBe(201);
    expect(json).toMatchObject({ umPerPx, relativeStandardUncertainty });
    expect(json.measuredOn).toMatch(/^\d\d lines of a ruler, 10 um a division$/);
    expect((await accept('f'.repeat(64))).status).toBe(404);
  });

  it('says why when it has no lines, and asks for the division', async () => {
    server = await startTestServer();
    const blank = { width: 300, height: 200, data: new Uint8Array(300 * 200 * 3).fill(180) };
    const sent = await sendPicture(blank, 'ruler', 10);
    expect(sent).toMatchObject({ status: 201, json: { found: null } });
    expect(sent.json.why).toMatch(/points/);
    expect((await accept(sent.json.id as string)).json).toMatchObject({ status: 409, kind: 'refused' });
    expect((await sendPicture(blank, 'grid')).json).toMatchObject({ status: 400 });
  });

  it('goes into the count with its size, its uncertainty and its age', async () => {
    server = await startTestServer();
    const { store } = server.house;
    const sent = await sendPicture(drawnRuler({ division: 12.5, crossed: true }), 'ruler', 10);
    const made = (await accept(sent.json.id as string)).json;
    server.later(181 * DAY);
    const tank = await server.send('POST', `${BASE}/tanks`, { cookie: asAna, json: { name: '1' } });
    const scale = { kind: 'calibration', calibration: made.id as string };
    const asked = { ...newSample((tank.json as { id: string }).id), scale };
    const sample = (await server.send('POST', `${BASE}/samples`, { cookie: asAna, json: asked })).json.id as string;
    const form = photoForm({ 'a.png': await smallPhoto(1) });
    await server.send('POST', `${BASE}/samples/${sample}/photos`, { cookie: asAna, form });
    const job = await store.jobs.claim('test', ['count-photo'], 60_000);
    const { task } = await planCount(store, job?.subject ?? '');
    expect(task.options.scaleUmPerPx).toBeUndefined();
    expect(task.options.calibration).toMatchObject({
      name: 'Bench 1, 10x',
      sizePx: [900, 420],
      umPerPx: made.umPerPx as number,
      relativeStandardUncertainty: made.relativeStandardUncertainty as number,
      warnings: [{ code: 'calibration-out-of-date' }],
    });
    expect(task.options.calibration?.eyepieceRuler?.divisionUm).toBeCloseTo(10, 1);
  });
});

describe('stage rules', () => {
  const path = `${BASE}/stage-rules/eastern-oyster`;
  const send = (what: string, json: object = {}): Promise<Got> =>
    server.send('POST', `${path}/${what}`, { cookie: asAna, json });

  /** Counts with features that are all known to the starting rules: none, so each stands at its centre. */
  const seen = (id: string): PhotoCount => countFor(id);

  async function signedOffSample(): Promise<void> {
    const sample = await begin(server);
    const [photo] = await addCounted(server, sample, [1], seen);
    const decisions = ['a', 'b'].map((object) => ({
      id: `${photo}-${object}`,
      kind: 'relabel',
      photo,
      object,
      stage: 'umbo',
    }));
    await server.send('POST', `${BASE}/samples/${sample}/decisions`, {
      cookie: asAna,
      json: { expectedOrder: 0, decisions },
    });
    await server.send('PUT', `${BASE}/photos/${photo}/looked-at`, { cookie: asAna, json: { order: 2 } });
    const signed = await server.send('POST', `${BASE}/samples/${sample}/sign-off`, {
      cookie: asAna,
      json: { order: 2 },
    });
    expect(signed.status).toBe(201);
  }

  it('begin with the starting ones, and nothing to learn from', async () => {
    server = await startTestServer();
    const { json } = await server.send('GET', path);
    expect(json).toMatchObject({ changes: [], waiting: { larvae: 0, corrected: 0, slides: 0 } });
    expect(json.versions).toMatchObject([
      { version: json.inForce as string, state: 'in-force', parent: null, made: null, learned: null },
    ]);
    expect((await send('learn')).json).toMatchObject({ status: 409, kind: 'refused' });
    expect((await server.send('GET', `${BASE}/stage-rules/whale`)).json).toMatchObject({ status: 400 });
  });

  it('learn from corrections of signed-off counts; what the gate refuses can not be taken', async () => {
    server = await startTestServer();
    await signedOffSample();
    const before = (await server.send('GET', path)).json;
    expect(before.waiting).toEqual({ larvae: 2, corrected: 2, slides: 1 });
    const learned = await send('learn');
    expect(learned).toMatchObject({
      status: 201,
      json: {
        state: 'proposed',
        parent: before.inForce as string,
        learned: { larvae: 2, slides: 1, heldOut: null, accepted: false },
      },
    });
    expect(learned.json.learned.reasons.length).toBeGreaterThan(0);
    const version = learned.json.version as string;
    expect((await send(`${version}/take`)).json).toMatchObject({ status: 409, kind: 'refused' });
    const refused = (await send(`${version}/refuse`, { reason: 'too few' })).json;
    expect(refused.changes).toMatchObject([{ what: 'refused', version, by: 'Ana', reason: 'too few' }]);
    expect((refused.versions as { state: string }[]).map(({ state }) => state)).toEqual(['in-force', 'refused']);
    expect((await send(`${version}/refuse`)).status).toBe(409);
    expect((await send('99/take')).status).toBe(404);
  });

  it('are taken and gone back from; counting goes by those in force', async () => {
    server = await startTestServer();
    await signedOffSample();
    const { store } = server.house;
    const start = (await server.send('GET', path)).json.inForce as string;
    const version = (await send('learn')).json.version as string;
    // as if the gate had accepted them
    const key = 'stage-rules:eastern-oyster';
    const kept = JSON.stringify(await store.settings.get(key)).replace('"accepted":false', '"accepted":true');
    await store.settings.set(key, JSON.parse(kept) as never, { by: 'test' });
    const taken = (await send(`${version}/take`)).json;
    expect(taken).toMatchObject({ inForce: version, changes: [{ what: 'taken', version }] });
    expect(await store.settings.get('rules-in-use')).toEqual({ 'eastern-oyster': version });
    expect((await send(`${version}/take`)).status).toBe(409);
    const back = (await send(`${start}/take`, { reason: 'worse on eggs' })).json;
    expect(back).toMatchObject({
      inForce: start,
      changes: [{ what: 'taken' }, { what: 'gone-back', version: start, reason: 'worse on eggs' }],
    });
    expect(await store.settings.get('rules-in-use')).toEqual({ 'eastern-oyster': null });
    expect((back.versions as { state: string }[]).map(({ state }) => state)).toEqual(['in-force', 'earlier']);
  });
});
