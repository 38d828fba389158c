/**
 * Memory and time of `veligrid count` on large photos, each in a process of its own; writes what was measured into the
 * section "Large photos" of docs/performance.md, between its two marks; what a person wrote beside them stays. Ends with 1
 * when a limit that is stated there does not hold.
 *
 *   npm run bench:large [-- --print]
 *
 * Build first (npm run build). Memory bears other work on the machine. With --print nothing is written to docs/.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fitLine } from '@veligrid/estimation';
import { countRun, machine, type Usage } from './count-run.js';
import { publish, type Report } from './measured-report.js';
import { mosaic } from './mosaic.js';

const MOST_MEMORY_MB = 1200;
const MOST_GROWTH = 0.2;

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
    rows.push({ million, umPerPx, ...countRun(folder, [photo], umPerPx, { threads: 1 }) });
    process.stderr.write(`${JSON.stringify(rows[rows.length - 1])}\n`);
  }
  return rows;
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

const folder = mkdtempSync(join(tmpdir(), 'veligrid-large-'));
const report = largeReport(await large(folder));
rmSync(folder, { recursive: true });
await publish(report);
