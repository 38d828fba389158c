import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { COUNTED_KINDS } from '@veligrid/model';
import { openStore } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { run } from '../../../apps/cli/src/run.js';
import type { CountFile } from '../../../apps/cli/src/season/sample/keep-photo.js';
import { countOf, detectionOf } from '../support/fake-imaging.js';
import { writePhoto } from '../support/shell.js';
import { newFolder } from '../../storage/new-folder.js';
import { beganSeason, newBench, veligrid, type Bench } from './bench.js';

/** Ten larvae, one of them cut, and a bubble, whatever the photo shows. */
const countFile: CountFile = async (_, options) => {
  const page = { raster: { width: 80, height: 60, data: new Uint8Array(0) }, page: 1, warnings: [] };
  const larvae = Array.from({ length: 10 }, (_one, k) =>
    detectionOf(k, { kind: 'shelled-larva', stage: 'd-larva', flags: k === 9 ? ['cut'] : [], counted: k !== 9 }),
  );
  const bubble = detectionOf(10, { kind: 'bubble', stage: 'bubble', counted: false });
  return [{ ...countOf(options.name ?? '', page), detections: [...larvae, bubble] }];
};

/** Runs `sample` with a counter that needs no finder. */
async function sample(...args: string[]): Promise<{ out: string; code: number; error: string }> {
  const said = { out: '', err: '' };
  const console = {
    out: (text: string) => (said.out += text),
    err: (text: string) => (said.err += text),
    errIsTerminal: false,
  };
  const code = await run(['sample', ...args], console, { countFile });
  return { out: said.out, code, error: said.err.trim() };
}

interface Photographed {
  readonly bench: Bench;
  readonly review: string;
  /** Confirms with lines of the review, changed by `edit`. */
  readonly confirm: (edit?: (lines: string[]) => string[]) => Promise<{ out: string; code: number; error: string }>;
}

async function photographed(): Promise<Photographed> {
  const bench = newBench();
  await beganSeason(bench);
  const folder = newFolder();
  const photo = join(folder, 'IMG_1.png');
  await writePhoto(photo);
  const slide = ['--container-ml', '1000', '--cell', 'none', '--slide-ml', '0.5', '--scale-um-per-px', '3'];
  await bench.record('sample', 'add', '1-15', ...slide, '--sample', 'day 2', '--at', '2026-05-06T09:00Z');
  const out = join(folder, 'out');
  const by = ['--data', bench.data, '--by', 'Day technician'];
  const added = await sample('photos', 'day 2', photo, '--out', out, ...by);
  expect(added).toMatchObject({ code: 0, error: '' });
  expect(added.out).toContain('IMG_1.png: 11 objects found');
  expect(existsSync(join(out, 'IMG_1.png.overlay.jpg'))).toBe(true);
  const review = join(out, 'review.csv');
  return {
    bench,
    review,
    confirm: (edit = (lines) => lines) => {
      const lines = readFileSync(review, 'utf8').trim().split('\n');
      writeFileSync(review, `${edit(lines).join('\n')}\n`);
      return sample('confirm', 'day 2', '--reviewed', review, ...by);
    },
  };
}

const signedOff = async ({ data }: Bench): Promise<string> =>
  (await veligrid('sample', 'show', 'day 2', '--data', data)).out;

describe('a sample counted on photos from the command line', () => {
  it('has no total before it is confirmed, and gives no number to a move', async () => {
    const { bench, review } = await photographed();
    expect(await signedOff(bench)).toContain('not signed off: no total');
    expect((await bench.ask<{ there: { estimate: number } }[]>('tank', 'list'))[0]?.there.estimate).toBe(2e6);
    const move = await bench.refused(
      'tank',
      'split',
      '1-15',
      '--to',
      '1-16',
      '--count',
      'day 2',
      '--at',
      '2026-05-06T10:00Z',
    );
    expect([move.code, move.err]).toEqual([4, expect.stringContaining('not signed off, so it gives no number')]);
    // a line for each of the nine whole larvae; neither the cut one nor the bubble counts
    expect(readFileSync(review, 'utf8').trim().split('\n')).toHaveLength(10);
    expect(COUNTED_KINDS).not.toContain('bubble');
  });

  it('is signed off by a reviewed file; what was corrected counts as corrected', async () => {
    const { bench, confirm } = await photographed();
    const answer = await confirm((lines) =>
      lines.map((line) =>
        line.replace(/^(IMG_1.png,d0,.*),d-larva$/, '$1,not-larva').replace(/^(IMG_1.png,d1,.*),d-larva$/, '$1,dead'),
      ),
    );
    expect(answer.error).toBe('');
    // 9 whole, one is no larva, one dead: 7 alive in 0.5 mL, from 1,000 mL
    expect(answer.out).toMatch(/^Signed off by Day technician: 14,000 \(/);
    const store = await openStore(bench.data);
    const [one] = await store.samples.list();
    const open = await store.samples.open(one?.id ?? '');
    expect(
      open?.decisions.map(({ by, payload }) => [by, payload['kind'], payload['object'], payload['stage']]),
    ).toEqual([
      ['Day technician', 'relabel', 'd0', 'debris'],
      ['Day technician', 'relabel', 'd1', 'dead'],
    ]);
    expect(open?.signOffs.map(({ photoId, kind, by }) => [photoId === null, kind, by])).toEqual([
      [false, 'signed', 'Day technician'],
      [true, 'signed', 'Day technician'],
    ]);
    expect(await store.check()).toEqual([]);
    await store.close();
    expect(await signedOff(bench)).toMatch(/alive +14,000 \(/);
    const history = await bench.ask<{
      history: { what: string; photos: { photo: string; picture: string }[]; text: string }[];
    }>('history', 'A');
    const counted = history.history.find(({ what }) => what === 'counted');
    expect(counted?.photos).toEqual([
      { photo: 'IMG_1.png', picture: expect.stringMatching(/^[0-9a-f]{64}$/) as string },
    ]);
    expect(counted?.text).toContain('8 animals looked at');
    expect(counted?.text).toContain('2 corrections');
    expect((await confirm()).error).toContain('signed this count off');
  });

  it('is not signed off while one object has no line', async () => {
    const { bench, confirm } = await photographed();
    const { code, error } = await confirm((lines) => lines.filter((line) => !line.includes(',d3,')));
    expect([code, error]).toEqual([
      4,
      '1 objects of IMG_1.png were not looked at, d3 the first. Every one needs its line.',
    ]);
    expect(await signedOff(bench)).toContain('not signed off: no total');
    const store = await openStore(bench.data);
    const [one] = await store.samples.list();
    expect(await store.signOffs.ofSample(one?.id ?? '')).toEqual([]);
    expect(await store.decisions.ofSample(one?.id ?? '')).toEqual([]);
    await store.close();
  });

  it.each([
    [
      'a stage that is none',
      (lines: string[]) => [...lines.slice(0, -1), 'IMG_1.png,d8,0,0,,larva'],
      2,
      'line 10: stage is "larva"',
    ],
    ['an object twice', (lines: string[]) => [...lines, lines[1] ?? ''], 2, 'd0 of IMG_1.png stands there twice'],
    [
      'an object that is not there',
      (lines: string[]) => [...lines, 'IMG_1.png,d77,0,0,,umbo'],
      4,
      'There is no object d77',
    ],
    [
      'a photo that is not there',
      (lines: string[]) => [...lines, 'IMG_9.png,d1,0,0,,umbo'],
      4,
      'no counted photo IMG_9.png',
    ],
    ['no columns', () => ['a,b', '1,2'], 2, 'photo, detection_id and stage are needed'],
  ] as const)('refuses a file with %s', async (_, edit, code, words) => {
    const { confirm } = await photographed();
    const answer = await confirm(edit);
    expect([answer.code, answer.error]).toEqual([code, expect.stringContaining(words)]);
  });

  it('takes a photo once', async () => {
    const { bench, review } = await photographed();
    const photo = join(review, '..', '..', 'IMG_1.png');
    const again = await sample(
      'photos',
      'day 2',
      photo,
      '--out',
      newFolder(),
      '--data',
      bench.data,
      '--by',
      'Day technician',
    );
    expect([again.code, again.error]).toEqual([4, 'IMG_1.png is in this sample already, so it was not added again.']);
    const none = await sample(
      'photos',
      'day 2',
      'none.png',
      '--out',
      newFolder(),
      '--data',
      bench.data,
      '--by',
      'Day technician',
    );
    expect(none.error).toContain("none.png can't be read");
  });
});
