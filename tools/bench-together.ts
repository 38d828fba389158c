/**
 * Time of `veligrid count` for several photos on one core and on two; writes what was measured into the section "Several
 * photos at once" of docs/performance.md, between its two marks. Ends with 1 when the limit that is stated there does not
 * hold.
 *
 *   npm run bench:together [-- --print]
 *
 * Build first (npm run build). Needs a quiet machine with two cores or more, and Linux, whose taskset holds a program to one
 * core or two. With --print nothing is written to docs/.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { countRun, machine, type Held } from './count-run.js';
import { publish, type Report } from './measured-report.js';
import { median } from './median.js';
import { mosaic } from './mosaic.js';

const MOST_SHARE = 0.65;
/** How many photos, and how often. */
const RUNS = [
  [4, 5],
  [12, 2],
] as const;

/** Seconds of the same photos: held to one core, with one thread but two cores for the engine's own work, and with two. */
interface Round {
  readonly oneCore: number;
  readonly oneThread: number;
  readonly two: number;
}

async function photosOf(folder: string, n: number): Promise<string[]> {
  const photos = Array.from({ length: n }, (_, k) => join(folder, `together-${String(k)}.jpg`));
  for (const [k, photo] of photos.entries()) {
    writeFileSync(photo, await mosaic(1.5, { width: 4000 - 4 * k, height: 3000 }));
  }
  return photos;
}

async function together(folder: string, n: number, rounds: number): Promise<Round[]> {
  const photos = await photosOf(folder, n);
  const wallS = (held: Held): number => countRun(folder, photos, 1.5, held).wallS;
  return Array.from({ length: rounds }, () => {
    const round = {
      oneCore: wallS({ threads: 1, cores: '0' }),
      oneThread: wallS({ threads: 1, cores: '0,1' }),
      two: wallS({ threads: 2, cores: '0,1' }),
    };
    process.stderr.write(`${String(n)} photos ${JSON.stringify(round)}\n`);
    return round;
  });
}

async function togetherReport(folder: string): Promise<Report> {
  const runs: { readonly n: number; readonly rounds: readonly Round[] }[] = [];
  for (const [n, times] of RUNS) runs.push({ n, rounds: await together(folder, n, times) });
  const rows = runs.map(({ n, rounds }) => {
    const share = (of: (round: Round) => number): string =>
      median(rounds.map((round) => round.two / of(round))).toFixed(2);
    const each = rounds.map(({ two, oneCore }) => (two / oneCore).toFixed(2)).join(', ');
    const seconds = (of: (round: Round) => number): string => median(rounds.map(of)).toFixed(1);
    const times = [seconds((r) => r.oneCore), seconds((r) => r.oneThread), seconds((r) => r.two)];
    return `| ${[n, ...times, share((r) => r.oneCore), each, share((r) => r.oneThread)].join(' | ')} |`;
  });
  const text = `Made by \`npm run bench:together\` on ${machine()}: photos of 12 million pixels, \`veligrid count\` from its start to its end, medians of rounds in turn. The goal is four photos on two cores in at most ${String(MOST_SHARE)} of the time on one core.

| photos | on one core, s | one thread, two cores, s | two threads, two cores, s | part of one core | each round | part of one thread |
| --- | --- | --- | --- | --- | --- | --- |
${rows.join('\n')}`;
  const four = runs[0]?.rounds ?? [];
  const share = median(four.map(({ two, oneCore }) => two / oneCore));
  const wrong = !(share <= MOST_SHARE) ? ['two threads gain too little'] : [];
  return { heading: '## Several photos at once', text, wrong };
}

const folder = mkdtempSync(join(tmpdir(), 'veligrid-together-'));
const report = await togetherReport(folder);
rmSync(folder, { recursive: true });
await publish(report);
