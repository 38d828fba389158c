import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axeFaults } from './support/axe.js';
import { openBrowser, SCREENS, type Browsing, type ScreenName } from './support/browser.js';
import { arrive } from './support/paths.js';
import { serve, type Served } from './support/serve.js';

const main = fileURLToPath(new URL('../../apps/cli/dist/main.js', import.meta.url));

/** What is recorded before anybody opens the viewer: two tanks, two counts, two cultures. */
const RECORD: readonly (readonly string[])[] = [
  ['batch', 'add', 'A', '--spawned-at', '2026-05-04T09:00Z'],
  ['tank', 'add', '1-1', '--volume-l', '1000'],
  ['tank', 'add', '1-2', '--volume-l', '1000'],
  ['tank', 'stock', '1-1', '--batch', 'A', '--number', '4000000', '--at', '2026-05-04T11:00Z'],
  [
    ...['sample', 'tally', '1-1', '--sample', 'A day 4', '--container-ml', '2000', '--counts', '76;77;75'],
    ...['--volume-ml', '0.5', '--taken-ml', '10', '--made-up-to-ml', '100', '--stage', 'd-larva'],
    ...['--lengths-um', '90;92;94;96;98', '--at', '2026-05-08T10:00Z'],
  ],
  ['culture', 'add', 'T-4', '--alga', 'Tisochrysis lutea'],
  ['culture', 'reading', 'T-4', '--litres', '195', '--cells-per-ml', '4000000', '--at', '2026-05-08T06:00Z'],
];

/** Pages of a printed document (PDF 32000-1:2008, 7.7.3.3: each has a page object of its own). */
const pagesOf = (pdf: Buffer): number => pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g)?.length ?? 0;

let served: Served;
let browsing: Browsing;

beforeAll(async () => {
  served = await serve((folder) => {
    for (const line of RECORD) {
      execFileSync(process.execPath, [main, ...line, '--by', 'Day technician', '--data', folder]);
    }
    return Promise.resolve();
  });
  browsing = await openBrowser();
  browsing.page.setDefaultTimeout(30_000);
  await arrive(browsing.page, served.url);
}, 180_000);
afterAll(async () => {
  await browsing.close();
  await served.close();
});

describe('the morning', () => {
  it('is the first page: each tank with its batch, last count, what is due and the empty ones', async () => {
    const { page } = browsing;
    await page.goto(`${served.url}/`);
    await page.getByRole('heading', { name: /^Morning/, level: 1 }).waitFor();
    await page.goto(`${served.url}/#/morning/2026-05-08`);
    const row = page.getByRole('row', { name: /^1-1/ });
    await row.getByRole('link', { name: '3,040,000' }).waitFor();
    await row.getByText('Not fed since May 6').waitFor();
    await page.getByText('Empty (1):').waitFor();
    await row.getByRole('link', { name: '3,040,000' }).click();
    await page.getByRole('heading', { name: 'Result' }).waitFor();
  });

  it('passes axe-core and fits in width on three screens, in Spanish too', async () => {
    const { page } = browsing;
    const speak = (language: string): Promise<void> =>
      page.evaluate((tag) => {
        localStorage.setItem('veligrid.settings', JSON.stringify({ language: tag }));
      }, language);
    for (const language of ['es', 'en']) {
      await speak(language);
      for (const name of Object.keys(SCREENS) as ScreenName[]) {
        await page.setViewportSize(SCREENS[name]);
        for (const address of ['morning', 'feed']) {
          await page.goto(`${served.url}/?${language}#/${address}/2026-05-08`);
          await page.getByRole('table').first().waitFor();
          expect(await page.locator('html').getAttribute('lang')).toBe(language);
          expect(await axeFaults(page), `${name} ${address}`).toEqual([]);
          const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          expect(over, `${name} ${address} ${language}`).toBeLessThanOrEqual(0);
        }
      }
    }
    await page.setViewportSize(SCREENS.desktop);
  });

  it('prints on one sheet, and so does the feed sheet', async () => {
    const { page } = browsing;
    for (const address of ['morning', 'feed']) {
      await page.goto(`${served.url}/#/${address}/2026-05-08`);
      await page.getByRole('table').first().waitFor();
      expect(pagesOf(await page.pdf({ format: 'A4' })), address).toBe(1);
    }
  });

  it('prints on one sheet with 60 tanks and 40 batches too', async () => {
    const { page } = browsing;
    await page.route('**/api/v1/morning?**', async (route) => {
      const answer = await route.fetch();
      const morning = (await answer.json()) as {
        tanks: { tank: { id: string } }[];
        batches: { batch: { id: string } }[];
      };
      const times = <T>(list: readonly T[], n: number, withId: (one: T, id: string) => T): T[] =>
        Array.from({ length: n }, (_, i) => withId(list[i % list.length], String(i)));
      const tanks = times(morning.tanks, 60, (one, id) => ({ ...one, tank: { ...one.tank, id } }));
      const batches = times(morning.batches, 40, (one, id) => ({ ...one, batch: { ...one.batch, id } }));
      await route.fulfill({ json: { ...morning, tanks, batches } });
    });
    for (const day of ['2026-05-08', '2026-05-28']) {
      await page.goto('about:blank');
      await page.goto(`${served.url}/#/morning/${day}`);
      await page.getByRole('row').nth(60).waitFor();
      for (const format of ['A4', 'Letter'])
        expect(pagesOf(await page.pdf({ format, preferCSSPageSize: true })), `${day} ${format}`).toBe(1);
    }
    await page.unroute('**/api/v1/morning?**');
  });
});

describe('the feed sheet', () => {
  it('is ticked off by keys, says who and when, and a tick can be taken back', async () => {
    const { page } = browsing;
    await page.goto(`${served.url}/#/feed/2026-05-08`);
    const give = page.getByRole('button', { name: 'Given: T-4 to 1-1' });
    await give.focus();
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await page.getByText('✓ 3.76 L').waitFor();
    await page.getByText(/, Ana$/).waitFor();
    expect(await page.getByText('✓ 3.76 L').count()).toBe(1);
    await page.getByRole('button', { name: 'Take back: T-4 for 1-1' }).click();
    await give.waitFor();
  });

  it('counts in what is left in the tank', async () => {
    const { page } = browsing;
    await page.getByLabel('Cells per mL left in 1-1').fill('5000');
    await page.keyboard.press('Enter');
    await page.getByRole('row', { name: /^1-1/ }).getByText('2.51 L', { exact: true }).waitFor();
    await page.getByText(/^counted by Ana/).waitFor();
  });
});

describe('the pages below the settings', () => {
  it('add a tank and a reading of a culture, and pass axe-core', async () => {
    const { page } = browsing;
    await page.goto(`${served.url}/#/settings/tanks`);
    await page.getByRole('heading', { name: 'Tanks', level: 1 }).waitFor();
    const form = page.getByRole('form', { name: 'Add a tank' });
    await form.getByLabel('Name').fill('1-3');
    await form.getByLabel('Volume', { exact: true }).fill('800');
    await form.getByRole('button', { name: 'Add a tank' }).click();
    await page.getByRole('link', { name: '1-3' }).waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.goto(`${served.url}/#/settings/cultures`);
    await page.getByLabel('Enter a reading of T-4').click();
    await page.getByLabel('Cells counted').fill('381');
    await page.getByLabel('Taken').fill('1');
    await page.getByLabel('Made up to').fill('10');
    await page.getByRole('button', { name: 'Store this reading' }).click();
    // 381 cells in 0.0009 mL of a tenfold dilution
    await page.getByText('4,230,000 cells/mL').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.goto(`${served.url}/#/settings/backups`);
    await page.getByText('No backups are made').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    expect(browsing.faults).toEqual([]);
  });
});
