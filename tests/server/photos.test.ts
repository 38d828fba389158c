import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterEach, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import {
  addCounted,
  asAna,
  begin,
  countFor,
  countWaiting,
  photoForm,
  smallPhoto,
  startTestServer,
  type Got,
  type TestServer,
  type Wanted,
} from './support.ts';

let server: TestServer | null = null;
async function start(wanted: Wanted = {}): Promise<TestServer> {
  server = await startTestServer(wanted);
  return server;
}
afterEach(async () => {
  await server?.close();
  server = null;
});

const upload = (at: TestServer, sample: string, form: FormData): Promise<Got> =>
  at.send('POST', `${BASE}/samples/${sample}/photos`, { cookie: asAna, form });

describe('adding photos', () => {
  it('keeps each under its hash and begins to count it', async () => {
    const at = await start();
    const sample = await begin(at);
    const [one, two] = [await smallPhoto(1), await smallPhoto(2)];
    const got = await upload(at, sample, photoForm({ 'a.png': one, 'b.png': two }));
    expect(got.status).toBe(201);
    expect(got.json.refused).toEqual([]);
    expect(got.json.photos).toMatchObject([
      {
        name: 'a.png',
        filling: 1,
        field: null,
        widthPx: 200,
        heightPx: 100,
        page: 1,
        pages: 1,
        state: 'waiting',
        done: 0,
      },
      { name: 'b.png', state: 'waiting' },
    ]);
    const stored = await at.house.store.files.read((got.json.photos as { hash: string }[])[0].hash);
    expect(Buffer.from(stored).equals(one)).toBe(true);
    expect(await readdir(at.house.uploadFolder)).toEqual([]);
    expect((await at.send('GET', `${BASE}/samples/${sample}`)).json.photos).toEqual({
      all: 2,
      counted: 0,
      failed: 0,
      underWay: 2,
      lookedAt: 0,
    });
  });

  it('names what is no photo with the reason and takes the rest', async () => {
    const at = await start();
    const sample = await begin(at);
    const form = photoForm({
      'notes.jpg': Buffer.from('tank 7, 80 larvae, looks fine'),
      'good.png': await smallPhoto(1),
      'same again.png': await smallPhoto(1),
      'cut.png': (await smallPhoto(2)).subarray(0, 30),
    });
    const { status, json } = await upload(at, sample, form);
    expect(status).toBe(201);
    expect((json.photos as { name: string }[]).map(({ name }) => name)).toEqual(['good.png']);
    expect(json.refused).toEqual([
      {
        file: 'notes.jpg',
        why: 'notes.jpg is not a photo, whatever its name says. Use a JPEG, PNG, TIFF, WebP or BMP photo.',
      },
      { file: 'same again.png', why: 'same again.png is in this sample already, so it was not added again.' },
      { file: 'cut.png', why: 'cut.png is damaged or cut short. Copy it again from the camera.' },
    ]);
  });

  it('refuses more bytes, pixels or files than agreed', async () => {
    const at = await start({ pixels: 10_000, bytes: 50_000 });
    const sample = await begin(at);
    const { json } = await upload(at, sample, photoForm({ 'a.png': await smallPhoto(1) }));
    expect((json.refused as { why: string }[])[0].why).toContain('over the limit of 0.01 million pixels');
    const large = Buffer.alloc(60_000, 7);
    expect((await upload(at, sample, photoForm({ 'large.bin': large }))).json).toMatchObject({
      status: 413,
      kind: 'too-large',
    });
    const many = Object.fromEntries(Array.from({ length: 51 }, (_, i) => [`${String(i)}.png`, Buffer.from('x')]));
    expect((await upload(at, sample, photoForm(many))).json).toMatchObject({ status: 400, kind: 'bad-request' });
    expect((await upload(at, sample, photoForm({}))).json).toMatchObject({ status: 400 });
    expect(await readdir(at.house.uploadFolder)).toEqual([]);
  });

  it.each([
    ['no boundary', 'multipart/form-data', 'x'],
    [
      'cut short',
      'multipart/form-data; boundary=b',
      '--b\r\nContent-Disposition: form-data; name="photos"; filename="a"\r\n\r\nxx',
    ],
    ['no form', 'text/plain', 'x'],
    ['odd headers', 'multipart/form-data; boundary=b', '--b\r\nContent-Disposition\r\n\r\nxx\r\n--b--\r\n'],
  ])('answers a form that is broken (%s) with 400 and stays up', async (_, type, body) => {
    const at = await start();
    const sample = await begin(at);
    const headers = { 'Sec-Fetch-Site': 'same-origin', Cookie: asAna, 'Content-Type': type };
    const got = await fetch(`${at.url}${BASE}/samples/${sample}/photos`, { method: 'POST', headers, body });
    expect(got.status).toBe(400);
    expect((await at.send('GET', `${BASE}/samples/${sample}`)).status).toBe(200);
    expect(at.faults).toEqual([]);
  });

  it('takes names for what is shown only, never for a place on the disk', async () => {
    const at = await start();
    const sample = await begin(at);
    const { json } = await upload(
      at,
      sample,
      photoForm({ '../../../etc/passwd': await smallPhoto(1), 'Aus\u0308ter ñ.png': await smallPhoto(2) }),
    );
    expect((json.photos as { name: string }[]).map(({ name }) => name)).toEqual(['passwd', 'Aus\u0308ter ñ.png']);
  });

  it('removes where the photo was taken from the stored copy', async () => {
    const at = await start();
    const sample = await begin(at);
    const photo = await sharp({ create: { width: 64, height: 64, channels: 3, background: '#999' } })
      .withExif({ IFD0: { Make: 'Bench camera' }, IFD3: { GPSLatitude: '38/1 20/1 5961/100', GPSLatitudeRef: 'N' } })
      .jpeg()
      .toBuffer();
    const { json } = await upload(at, sample, photoForm({ 'phone.jpg': photo }));
    const stored = Buffer.from(await at.house.store.files.read((json.photos as { hash: string }[])[0].hash));
    const degrees = Buffer.alloc(4);
    degrees.writeUInt32LE(5961);
    expect([photo.includes(degrees), stored.includes(degrees), stored.includes('Bench camera')]).toEqual([
      true,
      false,
      true,
    ]);
  });

  it('makes a photo of every page of a file', async () => {
    const at = await start();
    const sample = await begin(at);
    const { readFile } = await import('node:fs/promises');
    const file = await readFile(join(import.meta.dirname, '../imaging/photo/reference/three-pages.tif'));
    const { json } = await upload(at, sample, photoForm({ 'stack.tif': file }));
    expect((json.photos as { page: number; pages: number }[]).map(({ page, pages }) => [page, pages])).toEqual([
      [1, 3],
      [2, 3],
      [3, 3],
    ]);
  });

  it('notes filling and drawn field of each photo', async () => {
    const at = await start();
    const sample = await begin(at, 2);
    const drawn = await at.send('POST', `${BASE}/samples/${sample}/fields`, { cookie: asAna, json: { photos: 2 } });
    const names = (drawn.json.fields.fields as { name: string }[]).map(({ name }) => name);
    expect(names).toHaveLength(2);
    const photos = { 'a.png': await smallPhoto(1), 'b.png': await smallPhoto(2) };
    const wrong = await upload(at, sample, photoForm(photos, { fields: '["Z99"]' }));
    expect(wrong.json).toMatchObject({ status: 400, detail: 'fields: Z99 was not drawn for this sample.' });
    const { json } = await upload(
      at,
      sample,
      photoForm(photos, { filling: '2', fields: JSON.stringify([names[1], null]) }),
    );
    expect(json.photos).toMatchObject([
      { filling: 2, field: names[1] },
      { filling: 2, field: null },
    ]);
    expect((await upload(at, sample, photoForm({ 'c.png': await smallPhoto(3) }, { filling: '3' }))).status).toBe(400);
    const late = await at.send('POST', `${BASE}/samples/${sample}/fields`, { cookie: asAna, json: { photos: 2 } });
    expect(late.json).toMatchObject({ status: 409, detail: 'Fields are drawn before the first photo, not after.' });
  });
});

describe('counting', () => {
  it('can be stopped and begun again', async () => {
    const at = await start();
    const sample = await begin(at);
    const { json } = await upload(at, sample, photoForm({ 'a.png': await smallPhoto(1) }));
    const path = `${BASE}/photos/${(json.photos as { id: string }[])[0].id}`;
    const act = (what: string): Promise<Got> => at.send('POST', `${path}/${what}`, { cookie: asAna });
    expect((await act('retry')).status).toBe(409);
    expect((await act('cancel')).json.state).toBe('cancelled');
    expect((await act('cancel')).status).toBe(409);
    expect((await act('retry')).json.state).toBe('waiting');
    await countWaiting(at);
    expect((await at.send('GET', path)).json).toMatchObject({ state: 'counted', done: 1 });
  });

  it('tells why a photo failed', async () => {
    const at = await start();
    const sample = await begin(at);
    const { json } = await upload(at, sample, photoForm({ 'a.png': await smallPhoto(1) }));
    const job = await at.house.store.jobs.claim('test', ['count-photo'], 60_000);
    const path = `${BASE}/photos/${(json.photos as { id: string }[])[0].id}`;
    await at.house.store.jobs.progress({ id: job?.id ?? '', attempt: 1 }, 0.25, 60_000);
    expect((await at.send('GET', path)).json).toMatchObject({ state: 'counting', done: 0.25, why: null });
    await at.house.store.jobs.failed({ id: job?.id ?? '', attempt: 1 }, 'a.png is damaged. Copy it again.', false);
    expect((await at.send('GET', path)).json).toMatchObject({
      state: 'failed',
      why: 'a.png is damaged. Copy it again.',
      count: null,
    });
  });

  it('is over for a photo that was brought in with its count and never had a job', async () => {
    const at = await start();
    const sample = await begin(at);
    const { store } = at.house;
    const [filling] = await store.fillings.ofSample(sample);
    const { sha256 } = await store.files.put(await smallPhoto(1));
    const sizes = { page: 1, widthPx: 200, heightPx: 100, takenAt: null, calibrationId: null };
    const photo = await store.photos.add({ fillingId: filling.id, sha256, name: 'a.png', ...sizes }, { by: 'import' });
    const state = async (): Promise<unknown> =>
      ((await at.send('GET', `${BASE}/photos/${photo.id}`)).json as { state: unknown }).state;
    expect(await state()).toBe('waiting');
    await store.detections.add({ photoId: photo.id, count: countFor(photo.id) }, { by: 'import' });
    expect(await state()).toBe('counted');
  });

  it('gives detections that never change, with an ETag', async () => {
    const at = await start();
    const [id] = await addCounted(at, await begin(at));
    const path = `${BASE}/photos/${id}/detections`;
    const got = await at.send('GET', path);
    expect(got.json).toMatchObject({
      photo: id,
      detections: [{ id: 'a' }, { id: 'b' }, { id: 'c' }, { id: 'd' }, { id: 'e' }],
    });
    const etag = got.headers.get('ETag') ?? '';
    expect((await at.send('GET', path, { headers: { 'If-None-Match': etag } })).status).toBe(304);
    expect((await at.send('GET', path, { headers: { 'If-None-Match': '"other"' } })).status).toBe(200);
  });
});

describe('pictures', () => {
  it('are small at first and squares of 512 px on looking closely', async () => {
    const at = await start();
    const sample = await begin(at);
    const photo = await sharp({ create: { width: 1500, height: 700, channels: 3, background: '#468' } })
      .jpeg()
      .toBuffer();
    const { json } = await upload(at, sample, photoForm({ 'a.jpg': photo }));
    const { json: pyramid } = await at.send('GET', `${BASE}/photos/${(json.photos as { id: string }[])[0].id}/pyramid`);
    expect(pyramid).toMatchObject({ widthPx: 1500, heightPx: 700, tileSize: 512, overlap: 1, maxLevel: 11 });
    const read = async (path: string): Promise<{ width?: number; height?: number; cache: string | null }> => {
      const got = await fetch(at.url + path);
      const { width, height } = await sharp(await got.arrayBuffer()).metadata();
      return { width, height, cache: got.headers.get('Cache-Control') };
    };
    const forever = 'private, max-age=31536000, immutable';
    expect(await read(pyramid.preview as string)).toEqual({ width: 1280, height: 597, cache: forever });
    const tile = (level: number, column: number, row: number): string =>
      (pyramid.address as string)
        .replace('{level}', String(level))
        .replace('{column}', String(column))
        .replace('{row}', String(row));
    expect(await read(tile(11, 1, 1))).toEqual({ width: 514, height: 189, cache: forever });
    expect(await read(tile(9, 0, 0))).toMatchObject({ width: 375, height: 175 });
    expect((await at.send('GET', tile(11, 3, 0))).status).toBe(404);
  });

  it('are found by hash only', async () => {
    const at = await start();
    const hash = 'a'.repeat(64);
    for (const path of [
      `${hash}/1/preview.jpg`,
      `${hash}/1/0/0/0`,
      '..%2f..%2fdata/1/preview.jpg',
      `${hash}/..%2f1/0/0/0`,
    ]) {
      expect((await at.send('GET', `${BASE}/pictures/${path}`)).json).toMatchObject({ status: 404, kind: 'not-found' });
    }
  });
});
