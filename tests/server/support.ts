import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { BASE } from '@veligrid/api';
import { calibratePhoto, cutPyramid, inspectPhoto, previewPicture } from '@veligrid/imaging';
import type { Detection, PhotoCount } from '@veligrid/model';
import { createApp, type House } from '@veligrid/server';
import { exportStore, openStore, type Role } from '@veligrid/storage';
import { createLockOut } from '../../apps/server/src/people/lock-out.js';
import type { FirstManagerCode } from '../../apps/server/src/people/first-manager-code.js';
import { hashPassword } from '../../apps/server/src/people/passwords.js';
import { photoOf } from '../review/support.js';

/** Cost of a password's hash in tests: fast, and worth nothing. */
const CHEAP = 4;

/** What a test asks of its server. */
export interface Wanted {
  readonly accountsWanted?: boolean;
  readonly firstManagerCode?: FirstManagerCode;
  readonly localOnly?: boolean;
  readonly pixels?: number;
  readonly bytes?: number;
  readonly stillMs?: number;
  readonly rates?: { readonly changes: number; readonly secrets: number };
}

/** How a request is sent. */
export interface Sent {
  readonly cookie?: string;
  readonly json?: unknown;
  readonly form?: FormData;
  readonly headers?: Record<string, string>;
}

/** An answer read to its end. */
export interface Got {
  readonly status: number;
  readonly headers: Headers;
  readonly cookies: readonly string[];
  readonly text: string;
  readonly json: any;
}

/** A server on a free port with a store of its own. */
export interface TestServer {
  readonly url: string;
  readonly house: House;
  /** What the server wrote to its log. */
  readonly faults: string[];
  /** Moves the server's clock, milliseconds. */
  readonly later: (ms: number) => void;
  readonly send: (method: string, path: string, sent?: Sent) => Promise<Got>;
  /** Adds one of the staff and signs them in. */
  readonly signedIn: (role: Role) => Promise<string>;
  readonly close: () => Promise<void>;
}

async function request(url: string, method: string, { cookie, json, form, headers }: Sent): Promise<Got> {
  const body = json === undefined ? form : JSON.stringify(json);
  const answer = await fetch(url, {
    method,
    ...(body === undefined ? {} : { body }),
    headers: {
      'Sec-Fetch-Site': 'same-origin',
      ...(json === undefined ? {} : { 'Content-Type': 'application/json' }),
      ...(cookie === undefined ? {} : { Cookie: cookie }),
      ...headers,
    },
    redirect: 'manual',
  });
  const text = await answer.text();
  const isJson = (answer.headers.get('Content-Type') ?? '').includes('json');
  const cookies = answer.headers.getSetCookie();
  return { status: answer.status, headers: answer.headers, cookies, text, json: isJson ? JSON.parse(text) : null };
}

/** The part of a Set-Cookie header that a browser sends back. */
export const cookieOf = ({ cookies }: Got): string => cookies.map((one) => one.split(';')[0]).join('; ');

/** Starts a server for a test. */
export async function startTestServer(wanted: Wanted = {}): Promise<TestServer> {
  const folder = await mkdtemp(join(tmpdir(), 'veligrid-server-'));
  let shift = 0;
  const now = (): Date => new Date(Date.now() + shift);
  const store = await openStore(join(folder, 'data'), { now });
  const house: House = {
    store,
    now,
    version: '0.1.0',
    uploadFolder: join(folder, 'data', 'uploads'),
    exportTo: (to, options) => exportStore(join(folder, 'data'), to, options),
    uploadLimits: {
      bytes: wanted.bytes ?? 20_000_000,
      pixels: wanted.pixels ?? 20_000_000,
      stillMs: wanted.stillMs ?? 60_000,
    },
    accountsWanted: wanted.accountsWanted ?? false,
    secureCookies: false,
    firstManagerCode: wanted.firstManagerCode ?? null,
    lockOut: createLockOut(now),
    passwordCost: CHEAP,
    wakeWorkers: () => undefined,
    findLines: (path, target) => calibratePhoto(path, target),
    pictures: {
      inspect: async (path, options) => inspectPhoto(await readFile(path), options),
      preview: async (path, page, to) => writeFile(to, await previewPicture(await readFile(path), page)),
      pyramid: async (path, page, to) => cutPyramid(await readFile(path), page, to),
    },
    backups: null,
    checkAnswers: true,
  };
  const faults: string[] = [];
  const app = createApp(house, {
    localOnly: wanted.localOnly ?? false,
    trustProxy: false,
    webFolder: join(folder, 'web'),
    log: (message) => faults.push(message),
    rates: wanted.rates ?? { changes: 100_000, secrets: 100_000 },
  });
  const server = app.listen(0, '127.0.0.1');
  // on a busy machine a request may come just as a shorter one is over
  server.keepAliveTimeout = 75_000;
  await new Promise((resolve) => server.once('listening', resolve));
  const url = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
  const send = (method: string, path: string, sent: Sent = {}): Promise<Got> => request(url + path, method, sent);
  return {
    url,
    house,
    faults,
    later: (ms) => {
      shift += ms;
    },
    send,
    signedIn: async (role) => {
      const name = `${role} ${String((await store.staff.list()).length)}`;
      const passwordHash = await hashPassword('a good password', CHEAP);
      await store.staff.add({ name, role, passwordHash, active: true }, { by: 'test' });
      return cookieOf(await send('POST', `${BASE}/session`, { json: { name, password: 'a good password' } }));
    },
    close: async () => {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
      await store.close();
      // a picture may still be on its way to disk
      await rm(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 50 });
    },
  };
}

/** Cookie of a person at the microscope on a machine without accounts. */
export const asAna = 'veligrid-name=Ana';
export const asBen = 'veligrid-name=Ben';

/** A sample of 10 L of a Sedgwick-Rafter cell with some fillings. */
export const newSample = (tank: string, fillings = 1): object => ({
  tank,
  condition: { kind: 'live' },
  containerMl: 10_000,
  fillings: Array.from({ length: fillings }, () => ({ steps: [], wholeSlideMl: null })),
  cell: { kind: 'sedgwick-rafter' },
  scale: { kind: 'given', umPerPx: 2 },
});

/** A small photo, each of another colour and so with another hash. */
export const smallPhoto = (shade: number): Promise<Buffer> =>
  sharp({ create: { width: 200, height: 100, channels: 3, background: { r: shade, g: 120, b: 90 } } })
    .png()
    .toBuffer();

/** A form with photos by name. */
export function photoForm(
  photos: Readonly<Record<string, Buffer>>,
  parts: Readonly<Record<string, string>> = {},
): FormData {
  const form = new FormData();
  for (const [name, value] of Object.entries(parts)) form.append(name, value);
  for (const [name, bytes] of Object.entries(photos)) form.append('photos', new Blob([new Uint8Array(bytes)]), name);
  return form;
}

/** A tank and a sample of it. */
export async function begin(server: TestServer, fillings = 1): Promise<string> {
  const name = `Tank ${String((await server.house.store.tanks.list()).length + 1)}`;
  const tank = await server.send('POST', `${BASE}/tanks`, { cookie: asAna, json: { name } });
  const sample = await server.send('POST', `${BASE}/samples`, {
    cookie: asAna,
    json: newSample((tank.json as { id: string }).id, fillings),
  });
  return (sample.json as { id: string }).id;
}

/** What the method would see: the photo of two squares that the tests of the review room use. */
export function countFor(id: string, detections?: readonly Detection[]): PhotoCount {
  const count = photoOf(id, detections);
  return { ...count, grid: count.grid && { ...count.grid, pitchUm: 1000 } };
}

/** Does the worker's part for every photo that waits: keeps a count and ends the job. */
export async function countWaiting(server: TestServer, seen: (id: string) => PhotoCount = countFor): Promise<void> {
  const { store } = server.house;
  for (;;) {
    const job = await store.jobs.claim('test', ['count-photo'], 60_000);
    if (job === null || job.subject === null) return;
    await store.detections.add({ photoId: job.subject, count: seen(job.subject) }, { by: 'count' });
    await store.jobs.done({ id: job.id, attempt: job.attempts });
  }
}

/** Adds photos to a sample, one for each filling number, and counts them; answers their ids. */
export async function addCounted(
  server: TestServer,
  sample: string,
  fillings: readonly number[] = [1],
  seen?: (id: string) => PhotoCount,
): Promise<string[]> {
  const ids: string[] = [];
  for (const [i, filling] of fillings.entries()) {
    const form = photoForm({ [`IMG_${String(i + 1)}.png`]: await smallPhoto(10 + i) }, { filling: String(filling) });
    const sent = await server.send('POST', `${BASE}/samples/${sample}/photos`, { cookie: asAna, form });
    ids.push(...(sent.json as { photos: { id: string }[] }).photos.map(({ id }) => id));
  }
  await countWaiting(server, seen);
  return ids;
}
