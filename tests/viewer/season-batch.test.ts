import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axeFaults } from './support/axe.js';
import { openBrowser, SCREENS, type Browsing, type ScreenName } from './support/browser.js';
import { enterSeason, type Entered } from './support/enter-season.js';
import { arrive } from './support/paths.js';
import { serve, type Served } from './support/serve.js';

let served: Served;
let ids: Entered;
const open = new Map<ScreenName, Browsing>();

const id = (name: string): string => ids.get(name) ?? '';

beforeAll(async () => {
  served = await serve();
  ids = await enterSeason(served.url);
}, 180_000);
afterAll(async () => {
  for (const browsing of open.values()) await browsing.close();
  await served.close();
}, 180_000);

/** One browser for each size of screen. */
async function atScreen(name: ScreenName): Promise<Browsing> {
  const known = open.get(name);
  if (known !== undefined) return known;
  const browsing = await openBrowser(name);
  open.set(name, browsing);
  await arrive(browsing.page, served.url);
  return browsing;
}

/** Opens a page by its address, and waits for its title. */
async function goTo(page: Page, address: string, title: string): Promise<void> {
  await page.goto(`${served.url}/${address}`);
  await page.getByRole('heading', { name: title, level: 1 }).waitFor();
}

describe('a batch and its tanks', () => {
  it.each(Object.keys(SCREENS) as ScreenName[])(
    'are whole and readable on a %s',
    async (screen) => {
      const { page, faults } = await atScreen(screen);
      const pages = [
        ['#/batches', 'Batches'],
        [`#/batch/${id('A')}`, 'Batch A'],
        [`#/tank/${id('1-1')}`, 'Tank 1-1'],
        [`#/batch-report/${id('A')}`, 'Batch report, A'],
      ] as const;
      for (const [address, title] of pages) {
        await goTo(page, address, title);
        await page.getByRole('heading', { level: 2 }).first().waitFor();
        expect(await axeFaults(page), title).toEqual([]);
        const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        expect(over, title).toBeLessThanOrEqual(0);
      }
      expect(faults).toEqual([]);
    },
    90_000,
  );

  it('are found by name, and every number leads to where it came from', async () => {
    const { page, faults } = await atScreen('desktop');
    await goTo(page, '#/batches', 'Batches');
    await page.getByLabel('Search').fill('nothing like it');
    await page.getByText('No batch is called like that here.').waitFor();
    await page.getByLabel('Search').fill('1-2');
    const card = page.getByRole('listitem').filter({ hasText: 'in tanks' });
    // 1/2 to the first count, 200 of 250 from there
    await card.getByText('40.0 % (').waitFor();
    await card.getByRole('link', { name: 'A', exact: true }).press('Enter');
    await page.getByRole('heading', { name: 'Batch A' }).waitFor();
    const growth = page.getByRole('link', { name: 'Day 4.0, tank 1-1: 97' });
    expect(await growth.getAttribute('href')).toBe(`#/count/${id('day 4')}/lengths`);
    const survival = page.getByRole('link', { name: 'Day 2.0, tank 1-1: 50.0 %' });
    expect(await survival.getAttribute('href')).toBe(`#/count/${id('day 2')}/sign-off`);
    const stages = page.getByRole('link', { name: 'Day 2.0, tank 1-1: D-larva 99.3 %, dead 0.7 %' });
    expect(await stages.getAttribute('href')).toBe(`#/count/${id('day 2')}/sign-off`);
    await page.getByText('Effective number of breeders: 2').waitFor();
    const pedigree = page.locator('section').filter({ hasText: 'Pedigree' });
    const leads = [
      ['cross X1', [`#/spawn/${id('Spawn 1')}`, `#/spawn/${id('Spawn 1')}`]],
      ['dam N-01', [`#/animals/${id('N-01')}`, `#/spawn/${id('Spawn 1')}`]],
      ['sire E-17', [`#/animals/${id('E-17')}`, `#/spawn/${id('Spawn 1')}`]],
    ] as const;
    for (const [row, links] of leads) {
      const found = pedigree.getByRole('row', { name: row }).getByRole('link');
      expect(await found.evaluateAll((all) => all.map((one) => one.getAttribute('href'))), row).toEqual(links);
    }
    await growth.press('Enter');
    await page.getByRole('navigation', { name: 'Steps of this count' }).waitFor();
    await page.goBack();
    await page.getByRole('heading', { name: 'Batch A' }).waitFor();
    expect(faults).toEqual([]);
  }, 60_000);

  it('show each drawing as a table, by keyboard', async () => {
    const { page } = await atScreen('desktop');
    await goTo(page, `#/batch/${id('A')}`, 'Batch A');
    const cells = [
      ['Growth: As a table', /97 \(92.* to 102\)/],
      ['Survival: As a table', /40.0 % \(/],
      ['Stages: As a table', /99.3 % \(/],
    ] as const;
    for (const [button, cell] of cells) {
      await page.getByRole('button', { name: button }).press('Enter');
      await page.getByRole('cell', { name: cell }).first().waitFor();
    }
    await page.getByText('From count to count').press('Enter');
    const out = page.getByRole('cell', { name: 'culled 100,000, moved out 150,000' });
    await out.getByRole('button', { name: 'culled' }).press('Enter');
    await page.getByRole('dialog').getByLabel('Animals').waitFor();
    await page.getByRole('dialog').getByRole('button', { name: 'Close' }).press('Enter');
  }, 60_000);

  it('are corrected where they stand, and the balance follows', async () => {
    const { page, faults } = await atScreen('desktop');
    await goTo(page, `#/batch/${id('A')}`, 'Batch A');
    await page
      .getByRole('row', { name: /^culled 100,000/ })
      .getByRole('button')
      .press('Enter');
    const dialog = page.getByRole('dialog');
    await dialog.getByText('What was said').waitFor();
    await dialog.getByLabel('Animals').fill('90000');
    await dialog.getByRole('button', { name: 'Store the correction' }).click();
    await dialog.getByText('This is needed.').or(dialog.getByText('Say why')).first().waitFor();
    await dialog.getByLabel('Why it is corrected').fill('read the wrong line');
    await dialog.getByRole('button', { name: 'Store the correction' }).click();
    await page.getByRole('row', { name: /^culled 90,000/ }).waitFor();
    await page.getByRole('cell', { name: /corrected: read the wrong line/ }).waitFor();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'History as CSV' }).click(),
    ]);
    expect(readFileSync(await download.path(), 'utf8')).toContain('culled,A,1-1,90000');
    expect(faults).toEqual([]);
  }, 60_000);

  it('of a tank: water and moves are recorded from its page', async () => {
    const { page, faults } = await atScreen('tablet');
    await goTo(page, `#/tank/${id('1-2')}`, 'Tank 1-2');
    await page.getByText('Not counted yet.').waitFor();
    await page.getByText('Record the water').click();
    await page.getByLabel('Temperature, °C').fill('26.5');
    await page.getByRole('button', { name: 'Record these readings' }).click();
    await page.getByRole('button', { name: 'Feed and water' }).click();
    await page.getByRole('cell', { name: '26.5 °C' }).waitFor();
    await page.getByText('Record a move').click();
    await page.getByLabel('What was done').selectOption('cull');
    await page.getByLabel('Animals', { exact: false }).first().fill('50000');
    await page.getByRole('button', { name: 'Record: culled' }).click();
    await page.getByText('100,000', { exact: true }).first().waitFor();
    expect(faults).toEqual([]);
  }, 60_000);

  it('are reported on paper: counts with who signed them, and the figures with their sources', async () => {
    const { page } = await atScreen('desktop');
    await goTo(page, `#/batch-report/${id('A')}`, 'Batch report, A');
    const signed = page.locator('section').filter({ hasText: 'Signed counts' });
    expect(await signed.getByRole('row', { name: /Ana/ }).count()).toBe(2);
    await page.getByText('common practice, no source').first().waitFor();
    const pdf = await page.pdf({ format: 'A4' });
    // pages of a PDF (ISO 32000-1, 7.7.3.3)
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length).toBeLessThanOrEqual(6);
  }, 60_000);
});
