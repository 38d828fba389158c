import { readFileSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { openBrowser } from '../tests/viewer/support/browser.js';
import { framesDuring, relabel } from '../tests/viewer/support/frames.js';
import { manyOutlines } from '../tests/viewer/support/many-outlines.js';
import { arrive, beginCount, slideIsReady } from '../tests/viewer/support/paths.js';
import { serve } from '../tests/viewer/support/serve.js';
import { storeSlide, type StoredSlide } from '../tests/viewer/support/stored-slide.js';
import { buildViewer } from './build-viewer.mjs';
import { root } from './run.mjs';

const OUTLINES = 5000;
const RELABELS = 12;
const OPENINGS = 5;
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

/** Milliseconds from opening an address to the photo on screen, and to its outlines. */
interface Opening {
  readonly photo: number;
  readonly outlines: number;
}

/** Notes in every page that is opened when photo and outlines were first on screen. */
async function noteOpening(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const seen: { photo?: number; outlines?: number } = {};
    Object.assign(globalThis, { seen });
    const look = (): void => {
      const preview = document.querySelector<HTMLImageElement>('.stage-view img.preview');
      const drawn = preview === null && document.querySelector('.stage-view .openseadragon-canvas') !== null;
      const shown = drawn || (preview?.complete === true && preview.naturalWidth > 0);
      if (shown) seen.photo ??= performance.now();
      const outlines = document.querySelector<HTMLElement>('canvas.outlines');
      if (outlines !== null && outlines.style.transform !== '') seen.outlines ??= performance.now();
      if (seen.photo === undefined || seen.outlines === undefined) requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  });
}

/** Opens a slide by its address in an empty page. */
async function opening(page: Page, address: string): Promise<Opening> {
  await page.goto('about:blank');
  await page.goto(address);
  await page.waitForFunction(() => (globalThis as unknown as { seen: Opening }).seen.outlines);
  return page.evaluate(() => (globalThis as unknown as { seen: Opening }).seen);
}

/** Milliseconds from dropping a photo that nobody has seen to its picture in the list. */
async function dropping(page: Page, url: string, picture: Buffer): Promise<number> {
  await page.goto(`${url}/#/counts`);
  await beginCount(page, 'Tank 5');
  const begun = performance.now();
  await page
    .locator('input[type=file][multiple]')
    .setInputFiles([{ name: 'fresh.jpg', mimeType: 'image/jpeg', buffer: picture }]);
  await page.waitForFunction(
    () => document.querySelector<HTMLImageElement>('img[src*="preview.jpg"]')?.naturalWidth ?? 0,
  );
  return performance.now() - begun;
}

/** Measures one slide. */
async function measure(page: Page, url: string, address: string): Promise<string[]> {
  await noteOpening(page);
  await arrive(page, url);
  // once for what the server makes at the first asking; after counting it does so by itself
  await opening(page, address);
  const openings: Opening[] = [];
  for (let i = 0; i < OPENINGS; i++) openings.push(await opening(page, address));
  await slideIsReady(page);
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
    row(
      'counted slide: address opened to the photo on screen',
      openings.map(({ photo }) => photo),
      '1000',
    ),
    row(
      'the same, to its outlines',
      openings.map(({ outlines }) => outlines),
      '',
    ),
    row('fresh photo: dropped to its picture on screen', [await dropping(page, url, fresh.picture)], '3000'),
  ];
}

buildViewer();
const many = await manyOutlines(OUTLINES);
const fresh = await manyOutlines(0, 8);
let stored: StoredSlide = { sample: '', photo: '' };
const served = await serve(async (folder) => {
  stored = await storeSlide(folder, many);
});
const browsing = await openBrowser('desktop');
try {
  const loadBefore = (loadavg()[0] ?? 0).toFixed(1);
  const table = await measure(
    browsing.page,
    served.url,
    `${served.url}/#/count/${stored.sample}/slide/${stored.photo}`,
  );
  const about = `${OUTLINES} outlines of 36 corners on a photo of 12 megapixels from the real server, 1440 x 900, headless Chromium without a graphics card, ${cpus().length} cores (${cpus()[0]?.model.trim() ?? ''}), load of the machine by others ${loadBefore} at the beginning and ${(loadavg()[0] ?? 0).toFixed(1)} at the end.`;
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
  await served.close();
}
