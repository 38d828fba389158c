import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { countPhoto } from '@veligrid/imaging';
import type { Detection, PhotoCount } from '@veligrid/model';
import { openStore, type Store } from '@veligrid/storage';
import { seededRandom } from '../tests/support/seeded-random.js';

/**
 * Fills a store with photos of a hatchery's years and measures what waits at the microscope: npm run long:store-speed --
 * [photos] [folder]. A named folder is kept, and measured without filling when it is full already. Objects are those of a
 * real count, moved about. Writes its figures into docs/performance.md.
 */
const root = fileURLToPath(new URL('..', import.meta.url));
const PHOTOS = Number(process.argv[2] ?? 50_000);
const KEPT = process.argv[3];
const LARVAE = 100;
const PHOTOS_PER_SAMPLE = 10;
const SAMPLES_PER_BATCH = 125;
const BY = { by: 'count' };
const random = seededRandom(50_000);

const rounded = (value: number): number => Math.round(value * 100) / 100;

/** An object moved by some pixels, so that no two are alike. */
function moved(one: Detection, id: string): Detection {
  const [dx, dy] = [random() * 900, random() * 900];
  const outline = one.outline.map(([x, y]) => [rounded(x + dx), rounded(y + dy)] as const);
  const lengthUm = one.lengthUm === null ? null : one.lengthUm * (0.9 + 0.2 * random());
  return { ...one, id, x: one.x + dx, y: one.y + dy, outline, lengthUm };
}

const countOf = (model: PhotoCount, photo: string, larvae: number): PhotoCount => ({
  ...model,
  photo,
  detections: Array.from({ length: larvae }, (_, i) => {
    const one = model.detections[Math.floor(random() * model.detections.length)];
    if (one === undefined) throw new Error('the photo to take objects from holds none');
    return moved(one, `d${i + 1}`);
  }),
});

async function addSample(store: Store, batchId: string, sha256: string, day: number): Promise<[string, string[]]> {
  const volume = { containerVolumeMl: 300, containerVolumeStandardUncertaintyMl: 3 };
  const takenAt = new Date(Date.UTC(2026, 0, 1 + day)).toJSON();
  const { id: sampleId } = await store.samples.add(
    {
      ...volume,
      name: `day ${day}`,
      batchId,
      tankId: null,
      takenAt,
      species: 'eastern-oyster',
      notes: { kind: 'live' },
      counting: {},
      note: '',
      active: true,
    },
    BY,
  );
  const filling = { sampleId, number: 1, volumeMl: 1, volumeStandardUncertaintyMl: 0.01, steps: [], note: '' };
  const { id: fillingId } = await store.fillings.add(filling, BY);
  const photoIds: string[] = [];
  for (let page = 1; page <= PHOTOS_PER_SAMPLE; page += 1) {
    const size = { widthPx: 4000, heightPx: 3000, takenAt: null, calibrationId: null };
    photoIds.push((await store.photos.add({ fillingId, sha256, page, name: `${page}.jpg`, ...size }, BY)).id);
  }
  return [sampleId, photoIds];
}

/** One sample with its photos, counts, some decisions, a sign-off and an estimate. */
async function fillSample(store: Store, model: PhotoCount, batchId: string, sha256: string): Promise<string> {
  const [sampleId, photoIds] = await addSample(store, batchId, sha256, Math.floor(random() * 300));
  for (const photoId of photoIds) await store.detections.add({ photoId, count: countOf(model, photoId, LARVAE) }, BY);
  const at = '2026-06-03T11:00:00Z';
  const decisions = photoIds.map((photoId, i) => {
    const id = `${sampleId} ${i}`;
    return {
      id,
      photoId,
      kind: 'relabel',
      by: 'Ada',
      at,
      payload: { id, kind: 'relabel', object: 'd1', stage: 'umbo' },
    };
  });
  await store.decisions.append(sampleId, 0, decisions);
  const signing = { sampleId, photoId: null, kind: 'signed', decisions: decisions.length, detections: {} } as const;
  const { id: signOffId } = await store.signOffs.append({ ...signing, payload: { objects: 1000 } }, BY);
  const figures = { kind: 'count', question: {}, answer: { total: 1e6 }, program: '0.1.0' };
  await store.estimates.append({ sampleId, signOffId, ...figures }, BY);
  return sampleId;
}

/** Median and 95th percentile of some rounds, milliseconds. */
async function timed(rounds: number, work: (round: number) => Promise<unknown>): Promise<[number, number]> {
  const times: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    const start = performance.now();
    await work(round);
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  return [times[Math.floor(rounds / 2)] ?? 0, times[Math.floor(rounds * 0.95)] ?? 0];
}

/** Puts a section in the place of the one of the same heading, or at the end. */
function writeSection(heading: string, text: string): void {
  const path = join(root, 'docs/performance.md');
  const parts = readFileSync(path, 'utf8').split(/\n(?=## )/);
  const others = parts.filter((part) => !part.startsWith(`## ${heading}`)).map((part) => part.trimEnd());
  writeFileSync(path, `${[...others, `## ${heading}\n\n${text}`].join('\n\n')}\n`);
}

const folder = KEPT ?? mkdtempSync(join(tmpdir(), 'veligrid-speed-'));
const store = await openStore(folder);
const [model] = await countPhoto(join(root, 'sample-images/drawn/crowded_03.jpg'));
if (model === undefined) throw new Error('the photo to take objects from has no page');
const { sha256 } = await store.files.put(Buffer.from('a picture'));
const samples = (await store.samples.list()).map(({ id }) => id);
const batches = (await store.batches.list()).map(({ id }) => id);
while (samples.length * PHOTOS_PER_SAMPLE < PHOTOS) {
  if (samples.length % SAMPLES_PER_BATCH === 0) {
    const fields = { species: 'eastern-oyster', spawnedAt: null, note: '', active: true };
    batches.push((await store.batches.add({ ...fields, name: String(batches.length + 1) }, BY)).id);
  }
  // a sample at a time in one go, or the disk would be waited for the whole day
  samples.push(await store.together(() => fillSample(store, model, batches.at(-1) ?? '', sha256)));
  if (samples.length % 10 === 0) process.stderr.write(`${String(samples.length * PHOTOS_PER_SAMPLE)} photos\n`);
}

const pick = (from: readonly string[]): string => from[Math.floor(random() * from.length)] ?? '';
const opening = await timed(40, () => store.samples.open(pick(samples)));
const history = await timed(40, () => store.samples.overview({ batchId: batches[0] ?? '' }));
const [, photoIds] = await addSample(store, batches[0] ?? '', sha256, 1);
const large = photoIds.map((photoId) => ({ photoId, count: countOf(model, photoId, 400) }));
const storing = await timed(large.length * 3, (round) => {
  const one = large[round % large.length];
  if (one === undefined) throw new Error('no photo left');
  const version = String(round);
  return store.detections.add({ ...one, count: { ...one.count, method: { ...one.count.method, version } } }, BY);
});
const all = await timed(5, () => store.samples.overview());
await store.close();
const bytes = statSync(join(folder, 'veligrid.sqlite')).size;
const larvae = samples.length * PHOTOS_PER_SAMPLE * LARVAE + large.length * 3 * 400;
if (KEPT === undefined) rmSync(folder, { recursive: true, force: true });

const row = (what: string, [median, late]: readonly [number, number], limit: string): string =>
  `| ${what} | ${median.toFixed(0)} | ${late.toFixed(0)} | ${limit} |`;
writeSection(
  'Keeping it',
  `Made by \`npm run long:store-speed -- ${PHOTOS}\` on ${cpus()[0]?.model ?? 'an unknown processor'}: ${PHOTOS} photos with ${LARVAE} objects each (${larvae} in all), ${PHOTOS_PER_SAMPLE} photos a sample, ${SAMPLES_PER_BATCH} samples a batch. The database takes ${(bytes / larvae).toFixed(0)} bytes for each object, with outline, measures and features.

| what | median ms | 95 % ms | limit ms |
| --- | --- | --- | --- |
${row('opening a sample with all its objects', opening, '150')}
${row('history of a batch', history, '300')}
${row("storing one photo's 400 objects", storing, '50')}
${row('list of all samples', all, '')}`,
);
