import { readFileSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { openBrowser } from '../tests/viewer/support/browser.js';
import { startDouble } from '../tests/viewer/support/double.js';
import { framesDuring, relabel } from '../tests/viewer/support/frames.js';
import { manyOutlines } from '../tests/viewer/support/many-outlines.js';
import { slideIsReady } from '../tests/viewer/support/paths.js';
import { buildViewer } from './build-viewer.mjs';
import { root } from './run.mjs';

const OUTLINES = 5000;
const RELABELS = 12;
const BEGIN = '<!-- viewer: written by npm run bench:viewer -->';
const END = '<!-- end of viewer -->';

/** Milliseconds of a part of all values, 0..1. */
function quantile(values: readonly number[], part: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? NaN;
}

/** Drags the photo to and fro with the mouse. */
async function pan(page: Page): Promise<void> {
  const [x, y] = [500, 450];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 0; i < 120; i++) {
    await page.mouse.move(x + 160 * Math.sin(i / 8), y + 80 * Math.sin(i / 5));
    await page.waitForTimeout(8);
  }
  await page.mouse.up();
}

/** Zooms in and out with the wheel. */
async function zoom(page: Page): Promise<void> {
  await page.mouse.move(500, 450);
  for (let i = 0; i < 60; i++) {
    await page.mouse.wheel(0, i % 20 < 10 ? -120 : 120);
    await page.waitForTimeout(30);
  }
}

function row(what: string, values: readonly number[], goal: string): string {
  return `| ${what} | ${quantile(values, 0.5).toFixed(1)} | ${quantile(values, 0.95).toFixed(1)} | ${goal} |`;
}

/** Measures one open slide. */
async function measure(page: Page, url: string): Promise<string[]> {
  const begun = performance.now();
  await page.goto(`${url}/#/count/sample-1/slide/photo-1`);
  await slideIsReady(page);
  const first = performance.now() - begun;
  await page.waitForTimeout(2000);
  const panned = await framesDuring(page, () => pan(page));
  const zoomed = await framesDuring(page, () => zoom(page));
  await page.keyboard.press('n');
  await page.waitForTimeout(1000);
  const relabels: number[] = [];
  for (let i = 0; i < RELABELS; i++) {
    relabels.push(await relabel(page, i % 2 === 0 ? '6' : '5', i % 2 === 0 ? 'eyed' : 'umbo'));
    await page.waitForTimeout(300);
  }
  return [
    `| ms | median | 95 % | goal |`,
    `| --- | --- | --- | --- |`,
    row('pan, whole photo in view, a frame', panned, '20, 33'),
    row('zoom with the wheel, a frame', zoomed, '20, 33'),
    row('key to the new stage on screen', relabels, '50'),
    row('address opened to the photo on screen', [first], '1000'),
  ];
}

buildViewer();
const double = await startDouble([await manyOutlines(OUTLINES)]);
const browsing = await openBrowser('desktop');
try {
  const table = await measure(browsing.page, double.url);
  const about = `${OUTLINES} outlines of 36 corners on a photo of 12 megapixels, 1440 x 900, headless Chromium without a graphics card, ${cpus().length} cores (${cpus()[0]?.model.trim() ?? ''}), load ${(loadavg()[0] ?? 0).toFixed(1)} at the end.`;
  const text = [BEGIN, '', about, '', ...table, '', END].join('\n');
  const path = join(root, 'docs/performance.md');
  const page = readFileSync(path, 'utf8');
  const [from, to] = [page.indexOf(BEGIN), page.indexOf(END)];
  const next =
    from < 0
      ? `${page.trimEnd()}\n\n## The viewer\n\n${text}\n`
      : page.slice(0, from) + text + page.slice(to + END.length);
  writeFileSync(path, next);
  process.stdout.write(`${text}\n`);
} finally {
  await browsing.close();
  await double.close();
}
