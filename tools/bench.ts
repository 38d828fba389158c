/**
 * Time of a count over the time of decoding the same file, and memory; writes docs/performance.md.
 *
 *   npm run bench
 *
 * The photos are 4000 x 3000 px mosaics of a sample slide at 0.8, 1.5 and 3 um per pixel. Both are timed in turn in one
 * run, one thread each, warm; the ratio of medians is what compares between machines.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { countPhoto, setDecodeThreads } from '@veligrid/imaging';
import sharp from 'sharp';

const ROUNDS = 5;
const [WIDTH, HEIGHT] = [4000, 3000];
const SLIDE = 'sample-images/drawn/early_03.jpg';
const TRUTH = 'sample-images/truth/early_03.json';

async function mosaic(umPerPx: number): Promise<Buffer> {
  const own = (JSON.parse(readFileSync(TRUTH, 'utf8')) as { um_per_px: number }).um_per_px;
  const { width } = await sharp(SLIDE).metadata();
  const tile = await sharp(SLIDE)
    .resize(Math.round((width * own) / umPerPx))
    .jpeg({ quality: 95 })
    .toBuffer({ resolveWithObject: true });
  const cut = { left: 0, top: 0, width: Math.min(WIDTH, tile.info.width), height: Math.min(HEIGHT, tile.info.height) };
  const input = await sharp(tile.data).extract(cut).png().toBuffer();
  const background = { r: 200, g: 200, b: 200 };
  return sharp({ create: { width: WIDTH, height: HEIGHT, channels: 3, background } })
    .composite([{ input, tile: true, gravity: 'northwest' }])
    .jpeg({ quality: 92 })
    .toBuffer();
}

const median = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1] ?? NaN;

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now();
  await work();
  return performance.now() - start;
}

setDecodeThreads(1);
const rows: string[] = [];
for (const umPerPx of [1.5, 0.8, 3]) {
  const photo = await mosaic(umPerPx);
  const decode = (): Promise<unknown> => sharp(photo).raw().toBuffer();
  const options = { scaleUmPerPx: umPerPx, timing: true };
  const [first] = await countPhoto(photo, options);
  await decode();
  const times: { decode: number[]; count: number[] } = { decode: [], count: [] };
  for (let round = 0; round < ROUNDS; round++) {
    times.decode.push(await timed(decode));
    times.count.push(await timed(() => countPhoto(photo, options)));
  }
  const [again] = await countPhoto(photo, options);
  const [d, c] = [median(times.decode), median(times.count)];
  const counted = first?.detections.filter((one) => one.counted).length ?? 0;
  const steps = Object.entries(again?.timingMs ?? {}).map(([step, ms]) => `${step} ${ms.toFixed(0)}`);
  rows.push(
    `| ${String(umPerPx)} | ${String(counted)} | ${d.toFixed(0)} | ${c.toFixed(0)} | ${(c / d).toFixed(1)} | ${steps.join(', ')} |`,
  );
}
const memory = process.resourceUsage().maxRSS / 1024;
const text = `# Performance

Made by \`npm run bench\` on ${cpus()[0]?.model.trim() ?? 'unknown'}, one thread, warm, medians of ${String(ROUNDS)} rounds; 4000 x 3000 px JPEG mosaics of a sample slide. The ratio is the figure to compare.

| um/px | counted | decode alone (sharp, RGB) ms | whole count ms | ratio | one run by step, ms |
| --- | --- | --- | --- | --- | --- |
${rows.join('\n')}

Largest memory of the process over all runs, encoding of the mosaics included: ${memory.toFixed(0)} MB.
`;
writeFileSync('docs/performance.md', text);
process.stdout.write(text);
