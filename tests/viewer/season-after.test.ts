import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { run } from '../../apps/cli/src/run.js';
import { axeFaults } from './support/axe.js';
import { openBrowser, SCREENS, type ScreenName } from './support/browser.js';
import * as paths from './support/paths.js';
import { serve, type Served } from './support/serve.js';

/** Records something on the command line, and gives its answer. */
async function record(data: string, ...args: string[]): Promise<{ readonly id: string }> {
  let out = '';
  const console = { out: (text: string) => (out += text), err: (text: string) => (out += text), errIsTerminal: false };
  const code = await run([...args, '--by', 'Ana', '--data', data, '--json'], console);
  if (code !== 0) throw new Error(out);
  return JSON.parse(out) as { id: string };
}

/** 225 in half a mL of a tenth of 2,000 mL are 9,000,000; 2,000 L at four umbo larvae a mL hold 8,000,000. */
const TALLY = ['--container-ml', '2000', '--counts', '225;225;225', '--volume-ml', '0.5'];
const DILUTED = ['--taken-ml', '10', '--made-up-to-ml', '100', '--stage', 'umbo'];

let count = '';

async function fill(data: string): Promise<void> {
  await record(data, 'batch', 'add', 'A', '--spawned-at', '2026-05-04T09:00Z');
  for (const [tank, litres] of [
    ['1-1', '2000'],
    ['1-2', '2000'],
  ] as const) {
    await record(data, 'tank', 'add', tank, '--volume-l', litres);
  }
  await record(data, 'tank', 'stock', '1-1', '--batch', 'A', '--number', '9500000', '--at', '2026-05-06T11:00Z');
  const tally = ['sample', 'tally', '1-1', ...TALLY, ...DILUTED];
  await record(data, ...tally, '--sample', 'A day 6', '--lengths-um', '118;122;120;120', '--at', '2026-05-10T09:00Z');
  const last = ['--sample', 'A day 8', '--lengths-um', '158;162;160;160', '--at', '2026-05-12T09:00Z'];
  count = (await record(data, ...tally, ...last)).id;
}

describe('after a count is signed off', { timeout: 120_000 }, () => {
  let served: Served;
  beforeAll(async () => {
    served = await serve(fill);
  }, 120_000);
  afterAll(() => served.close());

  it.each(Object.keys(SCREENS) as ScreenName[])(
    'what changed, a plan with a figure of its own, kept, and the move recorded: %s',
    async (screen) => {
      const browsing = await openBrowser(screen);
      const { page, faults } = browsing;
      page.setDefaultTimeout(30_000);
      await paths.arrive(page, served.url);
      await page.goto(`${served.url}/#/count/${count}/sign-off`);
      await page.getByRole('link', { name: 'What now? Changes and plans' }).click();
      await page.getByRole('heading', { name: 'After the count: A day 8', level: 1 }).waitFor();
      const changes = page.getByRole('region', { name: 'What changed' });
      // 9,000,000 of 9,000,000; means of 160 and 120 um two days apart
      expect(await changes.textContent()).toMatch(/100\.0 % .*in 2\.0 days.*no measurable loss/);
      expect(await changes.textContent()).toMatch(/20 \(.*µm a day.*within the band/);
      await page.getByText('there is room for 8,000,000 at 4 per mL').waitFor();
      expect(await axeFaults(page)).toEqual([]);

      await page.getByRole('button', { name: 'Change: umbo larvae' }).click();
      const own = page.getByRole('form', { name: 'Change: umbo larvae' });
      await own.getByLabel('Value').fill('3');
      await own.getByLabel('Where it is from, and why').fill('a warm week');
      await own.getByRole('button', { name: 'Take it for this plan' }).click();
      await page.getByText('there is room for 6,000,000 at 3 per mL').waitFor();
      await page.getByRole('cell', { name: 'a warm week' }).waitFor();
      await page.getByLabel('Why, or what for').fill('too many for the week');
      await page.getByRole('button', { name: 'Keep the plan' }).click();

      await page.getByRole('heading', { name: 'Plan: Thin this tank', level: 1 }).waitFor();
      await page.getByText('kept by Ana').waitFor();
      await page.getByText('its count stands').waitFor();
      await page.getByText('too many for the week').waitFor();
      expect(await axeFaults(page)).toEqual([]);
      await page.getByRole('button', { name: 'Take 3,000,000 out of 1-1' }).click();
      expect(await page.getByLabel('Animals').inputValue()).toBe('3000000');
      await page.getByLabel('To tank').fill('1-2');
      // three sizes take out of the same tank: only what is there
      await page.getByLabel('Animals').fill('1000000');
      await page.getByLabel('Lower limit (95 %)').fill('');
      await page.getByLabel('Upper limit (95 %)').fill('');
      await page.getByRole('button', { name: 'Record: split' }).click();
      await page.getByText('Recorded: Take 3,000,000 out of 1-1').waitFor();
      await page.getByRole('link', { name: 'From the count A day 8' }).click();
      await page.getByRole('row', { name: /Moved since this count Correct: split 1,000,000/ }).waitFor();
      expect(faults).toEqual([]);
      await browsing.close();
    },
  );

  it('figures of the house: one is changed with a reason, plans take it, and it goes back', async () => {
    const browsing = await openBrowser('tablet');
    const { page, faults } = browsing;
    page.setDefaultTimeout(30_000);
    await paths.arrive(page, served.url);
    await page.getByRole('link', { name: 'Settings' }).click();
    await page.getByRole('link', { name: 'Figures' }).click();
    await page.getByLabel('Search figures').fill('stocking.umbo');
    await page.getByText('1 figure', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Change: umbo larvae' }).click();
    await page.getByLabel('Value').fill('5');
    await page.getByLabel('Where it is from, and why').fill('our season 2026');
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Use this figure' }).click();
    await page.getByText('instead of 4').waitFor();
    await page.getByText('Source: our season 2026').waitFor();
    await page.goto(`${served.url}/#/after/${count}`);
    await page.getByText('there is room for 10,000,000 at 5 per mL').waitFor();
    await page.goto(`${served.url}/#/settings/figures`);
    await page.getByLabel('Search figures').fill('stocking.umbo');
    await page.getByRole('button', { name: 'Change: umbo larvae' }).click();
    await page.getByLabel('Where it is from, and why').fill('the season is over');
    await page.getByRole('button', { name: 'Go back to 4' }).click();
    await page.getByText('instead of 4').waitFor({ state: 'detached' });
    await page.getByText('Changed 2 times').click();
    await page.getByText('back to the shipped one: the season is over').waitFor();
    expect(faults).toEqual([]);
    await browsing.close();
  });
});
