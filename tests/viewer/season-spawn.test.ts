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

  it('lets an animal be corrected where it stands, to which its spawn leads', async () => {
    const browsing = await openBrowser('tablet');
    const { page, faults } = browsing;
    await arrive(page, served.url);
    await page.goto(`${served.url}/#/spawn/${spawnId}`);
    await page.getByRole('link', { name: 'N-03' }).first().click();
    const row = page.getByRole('row', { name: 'N-03' });
    await row.and(page.locator('[aria-current]')).waitFor();
    await row.getByRole('button', { name: 'Correct: N-03' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('Origin').fill('south bar');
    await dialog.getByLabel('Sex').selectOption('male');
    await dialog.getByLabel('Why it is corrected').fill('asked the diver');
    expect(await axeFaults(page)).toEqual([]);
    await dialog.getByRole('button', { name: 'Store the correction' }).click();
    await row.getByRole('cell', { name: 'south bar' }).waitFor();
    await row.getByRole('button', { name: 'Correct: parents of N-03' }).click();
    await dialog.getByLabel("mother's tag").waitFor();
    expect(faults).toEqual([]);
    await browsing.close();
  }, 60_000);

  it('leads from a count by eye to what it changes and allows, and from there to its result', async () => {
    const browsing = await openBrowser('tablet');
    const { page, faults } = browsing;
    await arrive(page, served.url);
    await page.goto(`${served.url}/#/by-eye`);
    await page.getByLabel('Tank', { exact: true }).fill('1-1');
    await page.getByLabel('Volume of the container').fill('2000');
    await page.getByLabel('Live ones in each filling').fill('152; 139; 149');
    await page.getByLabel('Volume looked at in each filling').fill('0.5');
    await page.getByRole('button', { name: 'Sign off this count' }).click();
    await page.getByRole('heading', { name: /^After the count: 1-1/, level: 1 }).waitFor();
    await page.getByRole('link', { name: 'The result' }).click();
    await page.getByRole('heading', { name: 'Result', level: 1 }).waitFor();
    expect(faults).toEqual([]);
    await browsing.close();
  }, 60_000);

  it('packs by the weight of the drained larvae, once a little of it was counted', async () => {
    const browsing = await openBrowser('phone');
    const { page, faults } = browsing;
    await arrive(page, served.url);
    await page.goto(`${served.url}/#/setting/${batchId}`);
    await page.getByLabel('Fill by').selectOption('weight');
    await page.getByLabel('Larvae in a package').fill('100000');
    expect(await page.getByText('Packing list: batch A').count()).toBe(0);
    await page.getByLabel('Larvae counted in a little of it').fill('25000');
    await page.getByLabel('Drained weight counted').fill('0.5');
    // 100,000 / (25,000 / 0.5 g) = 2 g
    await page.getByText('Packing list: batch A').waitFor();
    expect(await page.getByText('Fill, g of drained larvae').locator('..').textContent()).toContain('2.0');
    expect(await page.locator('.packages li').first().textContent()).toContain('2.0 g');
    expect(await axeFaults(page)).toEqual([]);
    expect(faults).toEqual([]);
    await browsing.close();
  }, 60_000);

  it('says what to do where no culture has a reading, instead of refusing a ration', async () => {
    const browsing = await openBrowser('phone');
    const { page, faults } = browsing;
    await arrive(page, served.url);
    await enter('tank', { tank: '1-9', volume_l: '2000' });
    const count = await enter('count', {
      tank: '1-9',
      container_ml: '1000',
      counts: '200;210;190',
      volume_ml: '1',
      stage: 'd-larva',
    });
    await page.goto(`${served.url}/#/after/${count}`);
    await page.getByRole('button', { name: 'Ration', exact: true }).click();
    await page.getByText('No culture in use has a reading').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('link', { name: 'Enter a reading of a culture' }).click();
    await page.getByRole('heading', { name: 'Cultures', level: 1 }).waitFor();
    expect(faults).toEqual([]);
    await browsing.close();
  }, 60_000);
});
