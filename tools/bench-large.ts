/**
 * Memory and time of `veligrid count` on large photos, or with --together on several at once, each in a process of its own;
 * writes what was measured into the section "Large photos" or "Several photos at once" of docs/performance.md, between its
 * two marks; what a person wrote beside them stays. Ends with 1 when a limit that is
 * stated there does not hold.
 *
 *   npm run bench:large [-- --together] [--print]
 *
 * Build first (npx tsc -b). Memory bears other work on the machine; the time of two threads needs a quiet one. With --print
 * nothing is written to docs/.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fitLine } from '@veligrid/estimation';
import { format, resolveConfig } from 'prettier';
import { mosaic } from './mosaic.js';
import { withMeasured } from './with-section.js';

const TARGET = 'docs/performance.md';
const MAIN = 'apps/cli/dist/main.js';
const MOST_MEMORY_MB = 1200;
const MOST_GROWTH = 0.2;
const MOST_SHARE = 0.65;
const ROUNDS = 4;

/** What one run of the command took. */
interface Usage {
  readonly memoryMb: number;
  readonly cpuS: number;
  readonly wallS: number;
  readonly counted: number;
}

function run(folder: string, photos: readonly string[], umPerPx: number, threads: number): Usage {
  const usage = join(folder, 'usage.json');
  const out = join(folder, 'out');
  const start = performance.now();
  const args = ['count', ...photos, '--scale', String(umPerPx), '--threads', String(threads), '--out', out];
  const preload = ['--import', new URL('./peak-memory.mjs', import.meta.url).href];
  const { status, stderr } = spawnSync(process.execPath, [...preload, MAIN, ...args], {
    encoding: 'utf8',
    env: { ...process.env, VELIGRID_USAGE: usage },
  });
  const wallS = (performance.now() - start) / 1000;
  if (status !== 0) throw new Error(stderr);
  const { maxRSS, cpu } = JSON.parse(readFileSync(usage, 'utf8')) as { maxRSS: number; cpu: number };
  const [photo = ''] = photos;
  const written = readFileSync(join(out, photo.replace(/.*\//, '').replace(/\.[a-z]+$/, '.json')), 'utf8');
  const { detections } = JSON.parse(written) as { detections: { counted: boolean }[] };
  const counted = detections.filter((one) => one.counted).length;
  rmSync(out, { recursive: true });
  return { memoryMb: maxRSS / 1024, cpuS: cpu / 1e6, wallS, counted };
}

/** Sizes in millions of pixels, at 4 to 3. */
const sizeOf = (million: number): { width: number; height: number } => {
  const height = Math.round(Math.sqrt((million * 1e6 * 3) / 4) / 2) * 2;
  return { height, width: Math.round((height * 4) / 3) };
};

interface Row extends Usage {
  readonly million: number;
  readonly umPerPx: number;
}

async function large(folder: string): Promise<Row[]> {
  const rows: Row[] = [];
  for (const [million, umPerPx] of [
    [12, 1.5],
    [24, 1.5],
    [48, 1.5],
    [100, 1.5],
    [100, 0.8],
    [100, 3],
  ] as const) {
    const photo = join(folder, `${String(million)}-${String(umPerPx)}.jpg`);
    writeFileSync(photo, await mosaic(umPerPx, sizeOf(million)));
    rows.push({ million, umPerPx, ...run(folder, [photo], umPerPx, 1) });
    process.stderr.write(`${JSON.stringify(rows[rows.length - 1])}\n`);
  }
  return rows;
}

/** Least times of four photos with one thread and with two, in turn. */
async function together(folder: string): Promise<{ one: number; two: number }> {
  const photos: string[] = [];
  for (let k = 0; k < 4; k++) {
    photos.push(join(folder, `together-${String(k)}.jpg`));
    writeFileSync(photos[k] ?? '', await mosaic(1.5, { width: 4000 - 4 * k, height: 3000 }));
  }
  let [one, two] = [Infinity, Infinity];
  for (let round = 0; round < ROUNDS; round++) {
    one = Math.min(one, run(folder, photos, 1.5, 1).wallS);
    two = Math.min(two, run(folder, photos, 1.5, 2).wallS);
    process.stderr.write(`${one.toFixed(1)} s, ${two.toFixed(1)} s\n`);
  }
  return { one, two };
}

/** By how much a million pixels of a larger photo cost more than of a smaller one, at most, at 1.5 um a pixel. */
function growthOf(rows: readonly Row[]): number {
  const costs = rows.filter(({ umPerPx }) => umPerPx === 1.5).map(({ cpuS, million }) => cpuS / million);
  return Math.max(...costs.flatMap((cost, k) => costs.slice(0, k).map((before) => cost / before - 1)));
}

/** The straight line of processor time by millions of pixels at 1.5 um a pixel, and how far a photo is off it at most. */
function lineOf(rows: readonly Row[]): { readonly startS: number; readonly perMillionS: number; readonly off: number } {
  const points = rows.filter(({ umPerPx }) => umPerPx === 1.5);
  const { intercept: startS, slope: perMillionS } = fitLine(
    points.map(({ million }) => million),
    points.map(({ cpuS }) => cpuS),
  );
  const off = Math.max(...points.map(({ million, cpuS }) => Math.abs(cpuS / (startS + perMillionS * million) - 1)));
  return { startS, perMillionS, off };
}

/** A section and what is wrong with what it says. */
interface Report {
  readonly heading: string;
  readonly text: string;
  readonly wrong: readonly string[];
}

const machine = (): string =>
  `${cpus()[0]?.model.trim() ?? 'unknown'}, ${String(cpus().length)} cores, load ${loadavg()[0]?.toFixed(1) ?? '?'} at the end`;

function largeReport(rows: readonly Row[]): Report {
  const growth = growthOf(rows);
  const { startS, perMillionS, off } = lineOf(rows);
  const lines = rows.map(({ million, umPerPx, counted, memoryMb, cpuS }) => {
    const cells = [million, umPerPx, counted, memoryMb.toFixed(0), cpuS.toFixed(1), (cpuS / million).toFixed(2)];
    return `| ${cells.join(' | ')} |`;
  });
  const text = `Made by \`npm run bench:large\` on ${machine()}: \`veligrid count\` in a process of its own, JPEG mosaics of a sample slide, processor time with the start of the program.

| million pixels | um/px | counted | largest memory MB | processor s | s a million pixels |
| --- | --- | --- | --- | --- | --- |
${lines.join('\n')}

Goals: 100 million pixels under ${String(MOST_MEMORY_MB)} MB; at 1.5 um a pixel a million pixels of a larger photo cost at most ${String(100 * MOST_GROWTH)} % more than of a smaller one (now ${(100 * growth).toFixed(0)} %), and the time lies on a straight line within as much (now ${(100 * off).toFixed(0)} %: ${startS.toFixed(1)} s and ${perMillionS.toFixed(3)} s a million pixels).`;
  const wrong = rows
    .filter(({ memoryMb }) => memoryMb > MOST_MEMORY_MB)
    .map(({ umPerPx }) => `too much memory at ${String(umPerPx)} um/px`);
  const isStraight = growth <= MOST_GROWTH && off <= MOST_GROWTH;
  return { heading: '## Large photos', text, wrong: isStraight ? wrong : [...wrong, 'time does not grow evenly'] };
}

function togetherReport({ one, two }: { readonly one: number; readonly two: number }): Report {
  const text = `Made by \`npm run bench:large -- --together\` on ${machine()}. Four photos of 12 million pixels: ${one.toFixed(1)} s with one thread, ${two.toFixed(1)} s with two, ${(two / one).toFixed(2)} of it (goal ${String(MOST_SHARE)}; least of ${String(ROUNDS)} rounds in turn).`;
  const wrong = two / one > MOST_SHARE ? ['two threads gain too little'] : [];
  return { heading: '## Several photos at once', text, wrong };
}

const folder = mkdtempSync(join(tmpdir(), 'veligrid-large-'));
const { heading, text, wrong } = process.argv.includes('--together')
  ? togetherReport(await together(folder))
  : largeReport(await large(folder));
rmSync(folder, { recursive: true });
process.stdout.write(`${heading}\n\n${text}\n`);
process.stderr.write(wrong.map((line) => `${line}\n`).join(''));
if (wrong.length > 0) process.exitCode = 1;
if (!process.argv.includes('--print')) {
  const options = { ...(await resolveConfig(TARGET)), filepath: TARGET };
  writeFileSync(TARGET, await format(withMeasured(readFileSync(TARGET, 'utf8'), heading, text), options));
}
