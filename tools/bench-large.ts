/**
 * Memory and time of `veligrid count` on large photos and on several at once, each in a process of its own; writes the
 * section "Large photos" of docs/performance.md. Ends with 1 when a limit that is stated there does not hold.
 *
 *   npm run bench:large [-- --print]
 *
 * Build first (npx tsc -b). Run it on a quiet machine: memory and processor time bear company, the time of two threads does
 * not. With --print nothing is written to docs/.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { format, resolveConfig } from 'prettier';
import { mosaic } from './mosaic.js';

const TARGET = 'docs/performance.md';
const HEADING = '## Large photos';
const MAIN = 'apps/cli/dist/main.js';
const MOST_MEMORY_MB = 1200;
const MOST_UNEVEN = 0.2;
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

/** Processor seconds for a million pixels at 1.5 um a pixel, without the start of the program. */
function perMillion(rows: readonly Row[], startS: number): number[] {
  return rows.filter(({ umPerPx }) => umPerPx === 1.5).map(({ cpuS, million }) => (cpuS - startS) / million);
}

async function blank(folder: string): Promise<string> {
  const path = join(folder, 'small.jpg');
  writeFileSync(path, await mosaic(1.5, { width: 64, height: 48 }));
  return path;
}

const folder = mkdtempSync(join(tmpdir(), 'veligrid-large-'));
const startS = run(folder, [await blank(folder)], 1.5, 1).cpuS;
const rows = await large(folder);
const { one, two } = await together(folder);
rmSync(folder, { recursive: true });
const costs = perMillion(rows, startS);
const unevenness = Math.max(...costs) / Math.min(...costs) - 1;
const lines = rows.map(({ million, umPerPx, counted, memoryMb, cpuS }) => {
  const cells = [
    million,
    umPerPx,
    counted,
    memoryMb.toFixed(0),
    (cpuS - startS).toFixed(1),
    ((cpuS - startS) / million).toFixed(3),
  ];
  return `| ${cells.join(' | ')} |`;
});
const section = `${HEADING}

Made by \`npm run bench:large\` on ${cpus()[0]?.model.trim() ?? 'unknown'}, ${String(cpus().length)} cores, load ${loadavg()[0]?.toFixed(1) ?? '?'} at the end: \`veligrid count\` in a process of its own, JPEG mosaics of a sample slide. Processor time without the start of the program (${startS.toFixed(1)} s).

| million pixels | um/px | counted | largest memory MB | processor s | s a million pixels |
| --- | --- | --- | --- | --- | --- |
${lines.join('\n')}

Goals: 100 million pixels under ${String(MOST_MEMORY_MB)} MB; at 1.5 um a pixel the time a million pixels even to ${String(100 * MOST_UNEVEN)} % (now ${(100 * unevenness).toFixed(0)} %). Four photos of 12 million pixels: ${one.toFixed(1)} s with one thread, ${two.toFixed(1)} s with two, ${(two / one).toFixed(2)} of it (goal ${String(MOST_SHARE)}; least of ${String(ROUNDS)} rounds in turn).
`;
process.stdout.write(section);
const wrong = [
  ...rows
    .filter(({ memoryMb }) => memoryMb > MOST_MEMORY_MB)
    .map(({ umPerPx }) => `too much memory at ${String(umPerPx)} um/px`),
  ...(unevenness > MOST_UNEVEN ? ['time does not grow evenly'] : []),
  ...(two / one > MOST_SHARE ? ['two threads gain too little'] : []),
];
process.stderr.write(wrong.map((line) => `${line}\n`).join(''));
if (wrong.length > 0) process.exitCode = 1;
if (!process.argv.includes('--print')) {
  const parts = readFileSync(TARGET, 'utf8')
    .split(/\n(?=## )/)
    .filter((part) => !part.startsWith(HEADING));
  const [head = '', ...others] = parts;
  const options = { ...(await resolveConfig(TARGET)), filepath: TARGET };
  writeFileSync(TARGET, await format([head.trimEnd(), '', section, ...others].join('\n'), options));
}
