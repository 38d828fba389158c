import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import type { LoggedDecision, NewDecision, Photo, Pyramid, Sample, Session } from '@veligrid/api';
import type { PhotoCount } from '../../../packages/model/src/index.js';

/** A photo with its count for the double to hand out. */
export interface DoublePhoto {
  readonly name: string;
  /** The picture, as a file that sharp reads. */
  readonly picture: Buffer | string;
  readonly count: PhotoCount;
}

/** A server in memory that speaks enough of the interface for one open sample. It stores nothing. */
export interface Double {
  readonly url: string;
  readonly sample: string;
  /** Decisions it was sent, in order. */
  readonly decisions: readonly LoggedDecision[];
  close(): Promise<void>;
}

const dist = fileURLToPath(new URL('../../../apps/web/dist/', import.meta.url));
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.jpeg': 'image/jpeg',
};

/** As strict as the real one: nothing inline, nothing from elsewhere. */
const CSP =
  "default-src 'self'; img-src 'self' data: blob:; script-src 'self'; style-src 'self'; worker-src 'self'; object-src 'none'; base-uri 'self'; frame-ancestors 'none'";

const NOW = '2026-06-01T09:30:00.000Z';
const made = { by: 'Ana', at: NOW };
const SAMPLE = 'sample-1';

const SESSION: Session = {
  who: 'Ana',
  role: 'manager',
  way: 'this-machine',
  needsFirstManager: false,
  demo: true,
  version: '0.1.0',
  settings: {
    hatchery: 'Tidewater Lane Hatchery',
    language: 'en',
    locale: 'en-US',
    volume: 'litre',
    temperature: 'celsius',
    species: 'eastern-oyster',
    calibrationDays: 365,
  },
};

const sampleOf = (photos: number): Sample => ({
  id: SAMPLE,
  tank: 'tank-1',
  batch: null,
  takenAt: NOW,
  condition: { kind: 'live' },
  species: 'eastern-oyster',
  ageHours: 120,
  containerMl: 200_000,
  fillings: [{ steps: [{ takenMl: 10, madeUpToMl: 100 }], wholeSlideMl: null }],
  cell: { kind: 'sedgwick-rafter' },
  scale: { kind: 'ruled-lines' },
  countingRule: 'centroid',
  note: '',
  tankName: 'Tank 4',
  batchName: 'Spring 3',
  fields: null,
  state: 'open',
  photos: { all: photos, counted: photos, failed: 0, underWay: 0, lookedAt: 0 },
  made,
  revision: 1,
});

const photoOf = ({ name, count }: DoublePhoto, i: number): Photo => ({
  id: `photo-${i + 1}`,
  sample: SAMPLE,
  name,
  filling: 1,
  field: null,
  hash: `${i + 1}`.padStart(64, '0'),
  widthPx: count.widthPx,
  heightPx: count.heightPx,
  page: 1,
  pages: 1,
  state: 'counted',
  done: 1,
  why: null,
  count: `${i + 1}`.padStart(64, 'c'),
  lookedAt: null,
  warnings: [],
  added: NOW,
});

const pyramidOf = ({ count }: DoublePhoto, i: number): Pyramid => ({
  widthPx: count.widthPx,
  heightPx: count.heightPx,
  tileSize: 512,
  overlap: 1,
  maxLevel: Math.ceil(Math.log2(Math.max(count.widthPx, count.heightPx))),
  format: 'jpg',
  address: `/tiles/${i}_files/{level}/{column}_{row}.jpeg`,
  preview: `/tiles/${i}_files/9/0_0.jpeg`,
});

async function body(request: IncomingMessage): Promise<unknown> {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return JSON.parse(Buffer.concat(parts).toString('utf8'));
}

/** Answers by path, as JSON. */
type Answers = Readonly<Record<string, (request: IncomingMessage) => Promise<unknown>>>;

function answersFor(photos: readonly DoublePhoto[], log: LoggedDecision[]): Answers {
  const given = photos.map(photoOf);
  const say = (value: unknown) => async (): Promise<unknown> => value;
  const store = async (request: IncomingMessage): Promise<unknown> => {
    const { decisions } = (await body(request)) as { decisions: NewDecision[] };
    const stored = decisions.map((one) => ({ ...one, by: 'Ana', at: new Date().toISOString() }));
    log.push(...stored);
    return { order: log.length, stored, newer: [] };
  };
  const of = (base: string): Record<string, () => Promise<unknown>> =>
    Object.fromEntries(
      photos.flatMap((photo, i) => [
        [`GET ${base}/photo-${i + 1}/pyramid`, say(pyramidOf(photo, i))],
        [`GET ${base}/photo-${i + 1}/detections`, say({ ...photo.count, photo: `photo-${i + 1}` })],
        [`GET ${base}/photo-${i + 1}/audit`, say({ seed: 1, squares: [] })],
      ]),
    );
  return {
    'GET /session': say(SESSION),
    'GET /samples': say({ samples: [sampleOf(photos.length)] }),
    'GET /tanks': say({ tanks: [] }),
    'GET /calibrations': say({ calibrations: [] }),
    [`GET /samples/${SAMPLE}`]: say(sampleOf(photos.length)),
    [`GET /samples/${SAMPLE}/photos`]: say({ photos: given }),
    [`GET /samples/${SAMPLE}/decisions`]: async () => ({ order: log.length, decisions: log }),
    [`POST /samples/${SAMPLE}/decisions`]: store,
    [`GET /samples/${SAMPLE}/results`]: say({ results: [] }),
    ...of('/photos'),
  };
}

/** Starts a double on a free port of this machine. */
export async function startDouble(photos: readonly DoublePhoto[]): Promise<Double> {
  const folder = await mkdtemp(join(tmpdir(), 'veligrid-double-'));
  for (const [i, { picture }] of photos.entries()) {
    await sharp(picture)
      .jpeg({ quality: 80 })
      .tile({ size: 512, overlap: 1, layout: 'dz' })
      .toFile(join(folder, `${i}.dz`));
  }
  const log: LoggedDecision[] = [];
  const answers = answersFor(photos, log);
  const handle = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const { pathname } = new URL(request.url ?? '/', 'http://localhost');
    response.setHeader('content-security-policy', CSP);
    if (pathname.endsWith('/events')) {
      response.writeHead(200, { 'content-type': 'text/event-stream' }).write('retry: 60000\n\n');
      return;
    }
    const answer = answers[`${request.method ?? 'GET'} ${pathname.replace('/api/v1', '')}`];
    if (pathname.startsWith('/api/')) {
      response.writeHead(answer === undefined ? 404 : 200, { 'content-type': 'application/json' });
      response.end(JSON.stringify(answer === undefined ? { detail: `No ${pathname}` } : await answer(request)));
      return;
    }
    const file = pathname.startsWith('/tiles/')
      ? join(folder, pathname.slice(7))
      : join(dist, pathname === '/' ? 'index.html' : pathname);
    response.setHeader('content-type', TYPES[extname(file)] ?? 'application/octet-stream');
    response.end(await readFile(file));
  };
  const server = createServer((request, response) => {
    handle(request, response).catch(() => response.writeHead(404).end());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}`,
    sample: SAMPLE,
    decisions: log,
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
      await rm(folder, { recursive: true, force: true });
    },
  };
}
