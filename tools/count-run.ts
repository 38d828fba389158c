import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';

const MAIN = 'apps/cli/dist/main.js';

/** The machine and its load, for what is written of measurements. */
export const machine = (): string =>
  `${cpus()[0]?.model.trim() ?? 'unknown'}, ${String(cpus().length)} cores, load ${loadavg()[0]?.toFixed(1) ?? '?'} at the end`;

/** What one run of the command took: largest memory, seconds of processor and of clock; and counted objects of the first photo. */
export interface Usage {
  readonly memoryMb: number;
  readonly cpuS: number;
  readonly wallS: number;
  readonly counted: number;
}

/** How the command is run: its threads, and the cores that it is held to, as taskset names them; all of them by default. */
export interface Held {
  readonly threads: number;
  readonly cores?: string;
}

/**
 * Counts photos by `veligrid count` in a process of its own and tells what it took.
 *
 * @param folder where the results are for so long; they are taken away
 * @param umPerPx scale of the photos, micrometres per pixel
 * @throws Error with what the command said when it did not end with 0
 */
export function countRun(folder: string, photos: readonly string[], umPerPx: number, { threads, cores }: Held): Usage {
  const usage = join(folder, 'usage.json');
  const out = join(folder, 'out');
  const start = performance.now();
  const args = ['count', ...photos, '--scale', String(umPerPx), '--threads', String(threads), '--out', out];
  const preload = ['--import', new URL('./peak-memory.mjs', import.meta.url).href];
  const held = cores === undefined ? [] : ['taskset', '-c', cores];
  const [program = '', ...words] = [...held, process.execPath, ...preload, MAIN, ...args];
  const { status, stderr } = spawnSync(program, words, {
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
