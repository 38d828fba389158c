import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { openBrowser, type Browsing } from './support/browser.js';
import * as paths from './support/paths.js';
import { serve, type Served } from './support/serve.js';

/** One act of a person, and how it is seen that it was kept. */
interface Step {
  readonly name: string;
  readonly act: (page: Page) => Promise<void>;
  readonly kept: (page: Page) => Promise<void>;
}

const heading = (page: Page): Promise<string | null> =>
  page.getByRole('region', { name: 'Selected larva' }).getByRole('heading', { level: 2 }).textContent();

const selectedIs =
  (stage: string) =>
  async (page: Page): Promise<void> => {
    await expect.poll(() => heading(page), { timeout: 20_000 }).toContain(stage);
  };

/** How many larvae the count has, as the sign-off says. */
const counted = async (page: Page): Promise<number> => {
  const row = page.getByRole('row', { name: /^Eggs, embryos and larvae/ });
  return Number((await row.textContent())?.replaceAll(/\D/g, ''));
};

let before = 0;

/** Paths 1 to 5, from the empty form to the result that was opened again. */
const STEPS: readonly Step[] = [
  {
    name: 'a count was begun',
    act: async (page) => {
      await paths.beginCount(page, 'Tank 4');
    },
    kept: async (page) => {
      await page.getByRole('heading', { name: 'Photos', level: 1 }).waitFor();
    },
  },
  {
    name: 'photos were sent',
    act: async (page) => {
      await paths.addPhotos(page, ['early_03.jpg']);
      await page.getByText('early_03.jpg').waitFor();
    },
    kept: (page) => paths.waitForCounted(page, 1),
  },
  {
    name: 'a larva was relabelled',
    act: async (page) => {
      await paths.openSlide(page);
      await page.locator('.stage-view').focus();
      await page.getByText('List of larvae').click();
      await page.locator('.list-of-larvae').focus();
      await page.keyboard.press('Home');
      await page.keyboard.press('6');
      await selectedIs('eyed')(page);
      await paths.allStored(page);
    },
    kept: selectedIs('eyed'),
  },
  {
    name: 'that was undone',
    act: async (page) => {
      await page.keyboard.press('u');
      await expect.poll(() => heading(page)).not.toContain('eyed');
      await page.keyboard.press('i');
      await page.keyboard.press('q');
      await selectedIs('unsure')(page);
      await paths.allStored(page);
    },
    kept: selectedIs('unsure'),
  },
  {
    name: 'a larva was drawn',
    act: async (page) => {
      await page.keyboard.press('w');
      await page.keyboard.press('a');
      await page.keyboard.press('Enter');
      for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowRight');
      await page.keyboard.press('Enter');
      await page.keyboard.press('Enter');
      await page.getByText('Drawn by hand').waitFor();
      await paths.allStored(page);
    },
    kept: async (page) => {
      await page.getByText('Drawn by hand').waitFor();
    },
  },
  {
    name: 'rows were relabelled',
    act: async (page) => {
      await paths.toStep(page, 'Rows');
      await page.getByRole('listbox', { name: 'Rows of larvae' }).focus();
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('Shift+ArrowRight');
      await page.keyboard.press('4');
      await expect.poll(() => page.getByRole('option', { name: /D-larva/ }).count()).toBeGreaterThan(1);
      before = await page.getByRole('option', { name: /D-larva/ }).count();
      await paths.allStored(page);
    },
    kept: async (page) => {
      await expect.poll(() => page.getByRole('option', { name: /D-larva/ }).count(), { timeout: 20_000 }).toBe(before);
    },
  },
  {
    name: 'lengths were looked at',
    act: async (page) => {
      await paths.toStep(page, 'Lengths');
      await page
        .getByRole('link', { name: /show these larvae/ })
        .first()
        .press('Enter');
    },
    kept: async (page) => {
      await page.getByRole('link', { name: /^Only \d+–\d+ µm/ }).waitFor();
    },
  },
  {
    name: 'a square was tallied by eye',
    act: async (page) => {
      await paths.toStep(page, 'Sign off');
      await page.getByText('Audit of early_03.jpg').click();
      await page.getByLabel('Seen by eye').fill('14');
      await page.getByRole('button', { name: 'Store this tally' }).click();
      await page.getByText('1 of 1 tallied').waitFor();
      before = await counted(page);
    },
    kept: async (page) => {
      await page.getByText('1 of 1 tallied').waitFor();
      expect(await counted(page)).toBe(before);
    },
  },
  {
    name: 'the photo was signed off',
    act: async (page) => {
      await page.getByRole('button', { name: 'Looked at' }).click();
      await page.getByText('looked at by Ana').waitFor();
    },
    kept: async (page) => {
      await page.getByText('looked at by Ana').waitFor();
    },
  },
  {
    name: 'the count was signed off',
    act: async (page) => {
      await page.getByRole('button', { name: 'Sign off this count' }).click();
      await page.getByRole('heading', { name: 'Result' }).waitFor();
    },
    kept: async (page) => {
      expect(await page.getByRole('row', { name: /All, dead ones included/ }).textContent()).toMatch(/\d to \d/);
    },
  },
  {
    name: 'it was opened again',
    act: async (page) => {
      await page.getByText('Open this count again').click();
      await page.getByLabel('Reason').fill('A bubble');
      await page.getByRole('button', { name: 'Open again' }).click();
      await page.getByRole('button', { name: 'Sign off this count' }).waitFor();
    },
    kept: async (page) => {
      await page.getByText('Earlier results (1)').click();
      await page.getByText('A bubble').waitFor();
    },
  },
];

describe('when the server is killed between any two steps, work goes on from the same place', () => {
  let served: Served;
  let ana: Browsing;
  /** The step that did not come to its end: those after it would only wait in vain. */
  let broken: string | null = null;

  beforeAll(async () => {
    served = await serve();
    ana = await openBrowser('desktop');
    ana.page.setDefaultTimeout(30_000);
    await paths.arrive(ana.page, served.url);
  }, 120_000);
  afterAll(async () => {
    await ana.close();
    await served.close();
  });

  // in turn the page is loaded anew, as after a power cut, and left open, so that it has to find back by itself
  it.each(STEPS.map((step, i) => ({ ...step, loadAgain: i % 2 === 0 })))(
    'after $name',
    { timeout: 120_000 },
    async ({ name, act, kept, loadAgain }) => {
      const { page } = ana;
      expect(broken, 'an earlier step failed').toBeNull();
      broken = name;
      await act(page);
      await served.kill();
      await served.again();
      if (loadAgain) await page.reload();
      await kept(page);
      // the tile viewer tells of each square that it has to ask for again
      expect(ana.faults.filter((fault) => !fault.startsWith('Tile %s failed to load'))).toEqual([]);
      broken = null;
    },
  );
});
