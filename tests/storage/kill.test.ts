import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { openStore, type Store } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../support/seeded-random.js';
import { newFolder } from './new-folder.js';
import { writerArguments, writtenCount, type Acknowledged } from './run-writer.js';

/** How often the writer is killed: a few times here, 200 times by `npm run long:kill`. */
const KILLS = Number(process.env['VELIGRID_KILLS'] ?? 20);

/** Most things acknowledged before the kill, and most milliseconds after the last of them. */
const MOST_LINES = 40;
const MOST_MS = 30;

/** Starts a writer, kills it at some point of its writing, and gives what it said was acknowledged. */
async function killed(folder: string, random: () => number): Promise<Acknowledged[]> {
  const child = spawn(process.execPath, writerArguments(folder), { stdio: ['ignore', 'pipe', 'inherit'] });
  const [lines, ms] = [Math.floor(random() * MOST_LINES), random() * MOST_MS];
  const acknowledged = new Map<number, Acknowledged>();
  let said = 0;
  for await (const line of createInterface({ input: child.stdout })) {
    if (said === lines) setTimeout(() => child.kill('SIGKILL'), ms);
    said += 1;
    const what = JSON.parse(line) as Acknowledged | 'open';
    if (what !== 'open') acknowledged.set(what.round, what);
  }
  return [...acknowledged.values()];
}

/** Everything acknowledged has to be there, whole and as it was. */
async function expectAll(store: Store, acknowledged: readonly Acknowledged[]): Promise<void> {
  for (const one of acknowledged) {
    const open = await store.samples.open(one.sampleId);
    expect(open?.photos.map(({ id }) => id)).toEqual([one.photoId]);
    expect(open?.detections.map(({ id }) => id)).toEqual([one.detections]);
    expect(open?.detections[0]?.count).toEqual(writtenCount(one.photoId, one.round));
    const decisions = open?.decisions.map(({ id }) => id) ?? [];
    expect(decisions.slice(0, one.decisions.length)).toEqual(one.decisions);
    // the one that was on its way may be there too
    expect(decisions.length - one.decisions.length).toBeLessThanOrEqual(1);
    expect(await store.files.read(one.sha256)).toBeDefined();
  }
}

/** Nothing may be there by half: sample, filling and photo were written together. */
async function expectNoHalves(store: Store): Promise<void> {
  const [samples, fillings, photos] = [
    await store.samples.list(),
    await store.fillings.list(),
    await store.photos.list(),
  ];
  expect([fillings.length, photos.length]).toEqual([samples.length, samples.length]);
}

describe('a store whose writer is killed', () => {
  it(
    `has everything acknowledged and no half, ${KILLS} times`,
    async () => {
      const folder = newFolder();
      const random = seededRandom(6);
      let [all, last] = [0, 0];
      for (let kill = 0; kill < KILLS; kill += 1) {
        const acknowledged = await killed(folder, random);
        const store = await openStore(folder);
        try {
          await expectAll(store, acknowledged);
          await expectNoHalves(store);
          expect(await store.check()).toEqual([]);
          const samples = (await store.samples.list()).length;
          expect(samples).toBeGreaterThanOrEqual(last + acknowledged.length);
          last = samples;
        } finally {
          await store.close();
        }
        all += acknowledged.length;
      }
      // the kills have to have hit writing, not waiting
      expect(all).toBeGreaterThan(KILLS / 2);
    },
    KILLS * 20_000,
  );
});
