import { readFileSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { join } from 'node:path';
import type { AnswerOf } from '@veligrid/api';
import { openStore } from '@veligrid/storage';
import { openBrowser } from '../tests/viewer/support/browser.js';
import { arrive } from '../tests/viewer/support/paths.js';
import { serve } from '../tests/viewer/support/serve.js';
import { buildViewer } from './build-viewer.mjs';
import { root } from './run.mjs';
import { fillSeason } from './season/fill-season.js';
import { withMeasured } from './with-section.js';

const HEADING = '## Pages of a large hatchery';
const ROUNDS = 5;
const [TANKS = 60, BATCHES = 40, DAYS = 22] = process.argv.slice(2).map(Number);

const middle = (times: readonly number[]): number => times.toSorted((a, b) => a - b)[times.length >> 1] ?? 0;

/** A batch that is in tanks, with its tank and last count, as somebody would open them. */
async function oneInTanks(url: string): Promise<{ batch: string; tank: string; count: string }> {
  const answer = await fetch(`${url}/api/v1/season/batches`, { headers: { cookie: 'veligrid-name=Ana' } });
  const { batches } = (await answer.json()) as AnswerOf<'listBatchSeasons'>;
  const line = batches.find(({ state, lastCount }) => state === 'in-tanks' && lastCount !== null);
  const [tank] = line?.tanks ?? [];
  if (line === undefined || line.lastCount === null || tank === undefined)
    throw new Error('No batch in tanks was counted.');
  return { batch: line.batch.id, tank: tank.id, count: line.lastCount.sample.id };
}

buildViewer();
let counts = 0;
let lastDay = '';
const served = await serve(async (folder) => {
  const store = await openStore(folder);
  const begins = new Date('2026-03-01T00:00:00.000Z');
  ({ counts, lastDay } = await fillSeason(store, { tanks: TANKS, batches: BATCHES, days: DAYS, begins }));
  await store.close();
});
const browsing = await openBrowser('desktop');
try {
  const { page } = browsing;
  await arrive(page, served.url);
  const rows: string[] = [];
  const { batch, tank, count } = await oneInTanks(served.url);
  for (const [name, address, route] of [
    ['Morning', `morning/${lastDay}`, `/morning?day=${lastDay}`],
    ['Feed sheet', `feed/${lastDay}`, `/feed?day=${lastDay}`],
    ['Batches', 'batches', '/season/batches'],
    ['Counts', 'counts', '/samples'],
    ['One batch', `batch/${batch}`, `/season/batches/${batch}`],
    ['One tank', `tank/${tank}`, `/season/tanks/${tank}`],
    ['After a count', `after/${count}`, `/samples/${count}/after`],
  ] as const) {
    const answers: number[] = [];
    const pages: number[] = [];
    const turns: number[] = [];
    const table = page.locator('table tbody tr, ul.plain-list li');
    for (let round = 0; round < ROUNDS; round += 1) {
      const asked = performance.now();
      const answer = await fetch(`${served.url}/api/v1${route}`, { headers: { cookie: 'veligrid-name=Ana' } });
      await answer.text();
      answers.push(performance.now() - asked);
      await page.goto('about:blank');
      const opened = performance.now();
      await page.goto(`${served.url}/#/${address}`);
      await table.first().waitFor();
      pages.push(performance.now() - opened);
      // from another page of the viewer, as by a link
      await page.goto(`${served.url}/#/by-eye`);
      await page.getByRole('heading', { name: 'Count by eye' }).waitFor();
      await table.waitFor({ state: 'detached' });
      const turned = performance.now();
      await page.evaluate((hash) => {
        location.hash = hash;
      }, `#/${address}`);
      await table.first().waitFor();
      turns.push(performance.now() - turned);
    }
    const [first = 0] = answers;
    const times = [first, middle(answers), middle(turns), middle(pages)].map((ms) => ms.toFixed(0));
    rows.push(`| ${name} | ${times.join(' | ')} |`);
    process.stdout.write(`${rows.at(-1) ?? ''}\n`);
  }
  const text = [
    `${TANKS} tanks, ${BATCHES} batches, ${counts} counts by eye and as many rations, from the real server, 1440 x 900, headless Chromium, medians of ${ROUNDS}; ${cpus().length} cores (${cpus()[0]?.model.trim() ?? ''}), load of the machine at the end ${(loadavg()[0] ?? 0).toFixed(1)}. The goal is a page in under 1,000 ms.`,
    '',
    '| page | server, first time, ms | server, ms | opened from another page, to its table, ms | viewer opened anew, to the table, ms |',
    '| --- | --- | --- | --- | --- |',
    ...rows,
  ].join('\n');
  const path = join(root, 'docs/performance.md');
  writeFileSync(path, withMeasured(readFileSync(path, 'utf8'), HEADING, text));
} finally {
  await browsing.close();
  await served.close();
}
