/**
 * Time of a count over the time of decoding the same file, and memory; writes docs/performance.md.
 *
 *   npm run bench
 *
 * The photos are 4000 x 3000 px mosaics of a sample slide at 0.8, 1.5 and 3 um per pixel, each in a process of its own. Count
 * and decoding are timed in turn in one run, one thread each, warm; the ratio of medians is what compares between machines.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { countPhoto, setDecodeThreads } from '@veligrid/imaging';
import { format, resolveConfig } from 'prettier';
import sharp from 'sharp';
import { median } from './median.js';
import { mosaic } from './mosaic.js';

const ROUNDS = 7;
const [WIDTH, HEIGHT] = [4000, 3000];
const TARGET = 'docs/performance.md';

/** What one photo took. */
interface Timing {
  readonly counted: number;
  readonly decodeMs: number;
  readonly countMs: number;
  readonly stepsMs: Readonly<Record<string, number>>;
  readonly memoryMb: number;
}

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now();
  await work();
  return performance.now() - start;
}

async function timeOne(path: string, umPerPx: number): Promise<Timing> {
  setDecodeThreads(1);
  const photo = readFileSync(path);
  const decode = (): Promise<unknown> => sharp(photo).raw().toBuffer();
  const options = { scaleUmPerPx: umPerPx, timing: true };
  const [first] = await countPhoto(photo, options);
  await decode();
  const times: { decode: number[]; count: number[] } = { decode: [], count: [] };
  const rounds: Readonly<Record<string, number>>[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    times.decode.push(await timed(decode));
    const start = performance.now();
    const [again] = await countPhoto(photo, options);
    times.count.push(performance.now() - start);
    rounds.push(again?.timingMs ?? {});
  }
  const steps = Object.keys(rounds[0] ?? {});
  return {
    counted: first?.detections.filter((one) => one.counted).length ?? 0,
    decodeMs: median(times.decode),
    countMs: median(times.count),
    stepsMs: Object.fromEntries(steps.map((step) => [step, median(rounds.map((one) => one[step] ?? 0))])),
    memoryMb: process.resourceUsage().maxRSS / 1024,
  };
}

async function timeAll(folder: string): Promise<string> {
  const rows: string[] = [];
  for (const umPerPx of [1.5, 0.8, 3]) {
    const path = join(folder, `${String(umPerPx)}.jpg`);
    writeFileSync(path, await mosaic(umPerPx, { width: WIDTH, height: HEIGHT }));
    const answer = execFileSync(process.execPath, [...process.execArgv, process.argv[1] ?? '', path, String(umPerPx)], {
      encoding: 'utf8',
    });
    const { counted, decodeMs, countMs, stepsMs, memoryMb } = JSON.parse(answer) as Timing;
    const steps = Object.entries(stepsMs).map(([step, ms]) => `${step} ${ms.toFixed(0)}`);
    const { stage = 0, ...others } = stepsMs;
    const share = (100 * stage) / Object.values(others).reduce((sum, ms) => sum + ms, 0);
    const ratio = (countMs / decodeMs).toFixed(1);
    const cells = [
      umPerPx,
      counted,
      decodeMs.toFixed(0),
      countMs.toFixed(0),
      ratio,
      memoryMb.toFixed(0),
      steps.join(', '),
      `${share.toFixed(0)} %`,
    ];
    rows.push(`| ${cells.join(' | ')} |`);
  }
  return `# Performance

Made by \`npm run bench\` on ${cpus()[0]?.model.trim() ?? 'unknown'}, one thread, warm, medians of ${String(ROUNDS)} rounds; 4000 x 3000 px JPEG mosaics of a sample slide, each in a process of its own. The ratio is the figure to compare.

| um/px | counted | decode alone (sharp, RGB) ms | whole count ms | ratio | largest memory of the process MB | by step, ms | staging adds |
| --- | --- | --- | --- | --- | --- | --- | --- |
${rows.join('\n')}
`;
}

const [path, umPerPx] = process.argv.slice(2);
if (path === undefined) {
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-bench-'));
  const text = await timeAll(folder);
  rmSync(folder, { recursive: true });
  // what other measurements wrote below stays
  const [, ...others] = readFileSync(TARGET, 'utf8').split(/\n(?=## )/);
  writeFileSync(
    TARGET,
    await format([text, ...others].join('\n'), { ...(await resolveConfig(TARGET)), filepath: TARGET }),
  );
  process.stdout.write(text);
} else process.stdout.write(JSON.stringify(await timeOne(path, Number(umPerPx))));
