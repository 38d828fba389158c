import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { inspectPhoto, previewPicture, readPhoto, removePlace } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
import { asAna, begin, photoForm, startTestServer, type TestServer } from '../server/support.ts';
import { casesOf, chooseBy } from './choose.ts';
import { DRAWINGS, hostilePictures } from './hostile-pictures.ts';
import { spoiledPicture } from './mutate-picture.ts';
import { samplePictures } from './sample-pictures.ts';

const SEED = 7_102_026;
const CASES = casesOf('VELIGRID_FUZZ_PICTURES', 120);
/** One in so many is sent to the server as well. */
const SENT = 5;
const LIMIT = { name: 'IMG_1.jpg', maxPixels: 4_000_000 };
/** Longest that one small file may keep the program, ms; on a loaded machine. */
const LONGEST_MS = 10_000;
/** Most memory beyond that at the start: a picture of 4 megapixels in 64 bits, twice, and room for the collector. */
const MOST_MEMORY = 400e6;

let at: TestServer;
let sample = '';
let whole: readonly Buffer[] = [];
let hostile: readonly Buffer[] = [];

beforeAll(async () => {
  at = await startTestServer({ pixels: LIMIT.maxPixels });
  sample = await begin(at);
  whole = await samplePictures();
  hostile = hostilePictures();
});
afterAll(() => at.close());

/** The case of a number: the files made to harm first, then spoiled ones. */
const caseOf = (i: number): Buffer => hostile[i] ?? spoiledPicture(whole, chooseBy(SEED + i));

const isRefusal = (error: unknown): boolean =>
  error instanceof VeligridError &&
  error.code === 'unreadable-photo' &&
  error.message.startsWith('IMG_1.jpg') &&
  !/[\n]|node_modules|\/tmp\//.test(error.message);

type Outcome = 'read' | 'refused';

/** Reads a file in every way that the program reads one; throws anything that is no clear refusal. */
async function readAll(file: Buffer): Promise<Outcome> {
  removePlace(Buffer.from(file));
  try {
    await inspectPhoto(file, LIMIT);
    for await (const { raster } of readPhoto(file, LIMIT)) {
      const { width, height, data } = raster;
      if (data.length !== width * height * 3 || width * height > LIMIT.maxPixels)
        throw new Error('a raster of another size');
    }
    return 'read';
  } catch (error) {
    if (isRefusal(error)) return 'refused';
    throw error;
  }
}

/** Shows a file small; a damaged one is refused in words. */
async function show(file: Buffer): Promise<void> {
  try {
    await inspectPhoto(file, LIMIT);
    await previewPicture(file, 1);
  } catch (error) {
    if (!(error instanceof VeligridError)) throw error;
  }
}

/** Sends a file; what was taken is looked at small and closely. */
async function sendOne(file: Buffer): Promise<string[]> {
  const wrong: string[] = [];
  const sent = await at.send('POST', `${BASE}/samples/${sample}/photos`, {
    cookie: asAna,
    form: photoForm({ 'IMG_1.jpg': file }),
  });
  if (sent.status !== 201) return [`upload ${String(sent.status)} ${sent.text}`];
  const { photos, refused } = sent.json as { photos: { hash: string; page: number }[]; refused: { why: string }[] };
  if (photos.length + refused.length === 0) wrong.push('neither taken nor refused');
  for (const { hash, page } of photos.slice(0, 2)) {
    for (const picture of ['preview.jpg', '0/0/0']) {
      const got = await at.send('GET', `${BASE}/pictures/${hash}/${String(page)}/${picture}`, { cookie: asAna });
      if (got.status >= 500 || (got.status >= 400 && got.json === null))
        wrong.push(`${picture} ${String(got.status)} ${got.text}`);
    }
  }
  return wrong;
}

describe(`${String(CASES)} spoiled pictures`, () => {
  it('are each read or refused in words, in little time and memory', { timeout: 1_800_000 }, async () => {
    const faults: string[] = [];
    const outcomes = { read: 0, refused: 0 };
    const before = process.memoryUsage().rss;
    let longest = 0;
    for (let i = 0; i < CASES; i += 1) {
      const file = caseOf(i);
      const began = performance.now();
      try {
        outcomes[await readAll(file)] += 1;
        await show(file);
        if (i % SENT === 0) faults.push(...(await sendOne(file)).map((fault) => `case ${String(i)}: ${fault}`));
      } catch (error) {
        faults.push(`case ${String(i)}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`);
      }
      longest = Math.max(longest, performance.now() - began);
    }
    const most = process.resourceUsage().maxRSS * 1024 - before;
    process.stdout.write(
      `pictures: ${JSON.stringify(outcomes)}, longest ${longest.toFixed(0)} ms, most memory ${(most / 1e6).toFixed(0)} MB\n`,
    );
    expect(faults).toEqual([]);
    expect(at.faults).toEqual([]);
    expect(longest).toBeLessThan(LONGEST_MS);
    expect(most).toBeLessThan(MOST_MEMORY);
    // were all refused by their first bytes, nothing behind would be tried
    expect(Math.min(outcomes.read, outcomes.refused)).toBeGreaterThan(CASES / 10);
    expect((await at.send('GET', `${BASE}/samples/${sample}`, { cookie: asAna })).status).toBe(200);
    expect(await at.house.store.check()).toEqual([]);
  });

  it('come from pictures that are all read when whole', async () => {
    for (const file of whole) expect(await readAll(file)).toBe('read');
  });
});

describe('a vector drawing', () => {
  it.each(Object.keys(DRAWINGS))('%s is no photo', async (kind) => {
    await expect(inspectPhoto(DRAWINGS[kind], LIMIT)).rejects.toThrow('IMG_1.jpg is not a photo');
    const sent = await at.send('POST', `${BASE}/samples/${sample}/photos`, {
      cookie: asAna,
      form: photoForm({ 'drawing.svg': DRAWINGS[kind] }),
    });
    expect(sent.json).toMatchObject({ photos: [], refused: [{ file: 'drawing.svg' }] });
    const form = new FormData();
    form.append('shows', 'points');
    form.append('picture', new Blob([new Uint8Array(DRAWINGS[kind])]), 'drawing.svg');
    const picture = await at.send('POST', `${BASE}/calibration-pictures`, { cookie: asAna, form });
    expect(picture.json).toMatchObject({ status: 422, kind: 'unreadable-photo' });
  });
});
