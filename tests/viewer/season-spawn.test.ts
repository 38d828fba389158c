import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axeFaults } from './support/axe.js';
import { openBrowser, SCREENS, type ScreenName } from './support/browser.js';
import { arrive } from './support/paths.js';
import { serve, type Served } from './support/serve.js';

let served: Served;
let [spawnId, batchId] = ['', ''];

async function enter(kind: string, fields: Readonly<Record<string, string>>): Promise<string> {
  const answer = await fetch(`${served.url}/api/v1/entries/${kind}`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', Cookie: 'veligrid-name=Ana', 'Sec-Fetch-Site': 'same-origin' },
    body: JSON.stringify({ fields }),
  });
  if (!answer.ok) throw new Error(await answer.text());
  return ((await answer.json()) as { id: string }).id;
}

beforeAll(async () => {
  served = await serve();
  await enter('animal', { animal: 'N-01', dam: 'G-1', sire: 'G-2' });
  await enter('animal', { animal: 'N-03', dam: 'G-1', sire: 'G-2' });
  spawnId = await enter('spawn', { spawn: 'Spawn 1' });
  await enter('spawn-result', {
    spawn: 'Spawn 1',
    animal: 'N-01',
    sex: 'female',
    gamete_ml: '450',
    gametes: '6200000',
  });
  await enter('spawn-result', { spawn: 'Spawn 1', animal: 'N-03', sex: 'male', gamete_ml: '30' });
  await enter('cross', { cross: 'X1', spawn: 'Spawn 1', dams: 'N-01', sires: 'N-03', eggs: '6200000' });
  await enter('sperm-check', { cross: 'X1', attached_per_egg: '12' });
  batchId = await enter('batch', { batch: 'A', crosses: 'X1=6000000' });
  await enter('tank', { tank: '1-1', volume_l: '2000' });
  await enter('move', { kind: 'stock', to: '1-1', batch: 'A', number: '6000000' });
}, 60_000);
afterAll(() => served.close());

describe('spawns, setting and shipping', () => {
  it.each(Object.keys(SCREENS) as ScreenName[])(
    'are whole and readable on a %s',
    async (screen) => {
      const browsing = await openBrowser(screen);
      const { page, faults } = browsing;
      page.setDefaultTimeout(30_000);
      await arrive(page, served.url);
      const pages = [
        ['#/spawns', 'Spawns'],
        ['#/animals', 'Animals'],
        [`#/spawn/${spawnId}`, 'Spawn 1'],
        [`#/setting/${batchId}`, 'Setting and shipping: batch A'],
        ['#/by-eye', 'Count by eye'],
      ] as const;
      for (const [address, title] of pages) {
        await page.goto(`${served.url}/${address}`);
        await page.getByRole('heading', { name: title, level: 1, exact: true }).waitFor();
        if (title === 'Spawn 1') {
          await page.getByLabel('N-01', { exact: true }).check();
          await page.getByLabel('N-03', { exact: true }).check();
          // full sibs: Falconer & Mackay 1996, chapter 5
          await page.getByText('0.250').waitFor();
          await page.getByText('related: choose another pair').waitFor();
          await page.getByText('above 10: polyspermy').waitFor();
        }
        expect(await axeFaults(page), title).toEqual([]);
        const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        expect(over, title).toBeLessThanOrEqual(0);
      }
      expect(faults).toEqual([]);
      await browsing.close();
    },
    90_000,
  );
});
