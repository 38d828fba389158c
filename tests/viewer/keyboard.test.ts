import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { openBrowser, type Browsing } from './support/browser.js';
import * as paths from './support/paths.js';
import { serve, type Served } from './support/serve.js';

/** What the page says of the selected larva. */
const title = (page: Page): Promise<string | null> =>
  page.getByRole('region', { name: 'Selected larva' }).getByRole('heading', { level: 2 }).textContent();

const press = async (page: Page, key: string, times = 1): Promise<void> => {
  for (let i = 0; i < times; i++) await page.keyboard.press(key);
};

/** Moves the focus by Tab until it is on something; fails when Tab never gets there. */
async function tabTo(page: Page, selector: string): Promise<void> {
  for (let i = 0; i < 80; i++) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab does not reach ${selector}`);
}

describe('checking a slide by keyboard alone', { timeout: 120_000 }, () => {
  let served: Served;
  let browsing: Browsing;

  beforeAll(async () => {
    served = await serve();
    browsing = await openBrowser('desktop');
    const { page } = browsing;
    page.setDefaultTimeout(30_000);
    await paths.arrive(page, served.url);
    await paths.beginCount(page, 'Tank 4');
    await paths.addPhotos(page, [paths.EMPTY_MIDDLE]);
    await paths.waitForCounted(page, 1);
    await paths.openSlide(page);
  }, 200_000);
  afterAll(async () => {
    await browsing.close();
    await served.close();
  });

  it('goes to the next that needs a look, relabels, sets form, removes, undoes and redoes', async () => {
    const { page } = browsing;
    await press(page, 'n');
    await expect.poll(() => title(page)).toMatch(/\d+, /);
    const before = await title(page);
    await press(page, '6');
    await expect.poll(() => title(page)).toContain('eyed');
    await press(page, 'f');
    await expect
      .poll(() => page.getByRole('button', { name: 'normal', exact: true }).getAttribute('aria-pressed'))
      .toBe('true');
    await press(page, 'x');
    await page.getByText('Tap a larva to see what it was taken for').waitFor();
    await press(page, 'u', 3);
    await press(page, 'n');
    await expect.poll(() => title(page)).toBe(before);
    await press(page, 'i');
    await expect.poll(() => title(page)).toContain('eyed');
    await paths.allStored(page);
  });

  it('adds a larva with the cross, redraws, splits and joins it', async () => {
    const { page } = browsing;
    await press(page, 'w');
    await press(page, 'a');
    await press(page, 'Enter');
    await press(page, 'Shift+ArrowRight', 3);
    await press(page, 'Enter', 2);
    await page.getByText('Drawn by hand').waitFor();
    const added = await title(page);
    // Through its middle from above to below: the cross begins there.
    await press(page, 'e');
    await press(page, 'c');
    await press(page, 'Shift+ArrowUp', 10);
    await press(page, 'Enter');
    await press(page, 'Shift+ArrowDown', 20);
    await press(page, 'Enter');
    await expect.poll(() => title(page)).not.toBe(added);
    const half = await title(page);
    await press(page, 'j');
    // The other half lies to one side of the middle; a selected larva itself is never picked.
    await press(page, 'Shift+ArrowRight', 3);
    await press(page, 'Enter');
    await press(page, 'Shift+ArrowLeft', 6);
    await press(page, 'Enter');
    await tabTo(page, '.told .button.main');
    await press(page, 'Enter');
    await expect.poll(() => title(page)).not.toBe(half);
    await press(page, 'r');
    await press(page, 'Enter');
    await press(page, 'Shift+ArrowRight', 2);
    await press(page, 'Enter');
    await press(page, 'Shift+ArrowDown', 2);
    await press(page, 'Enter', 2);
    await page.locator('.told').waitFor({ state: 'detached' });
    await paths.allStored(page);
  });

  it('walks the list of larvae, measures, hides outlines while a key is held', async () => {
    const { page } = browsing;
    await tabTo(page, '.card summary');
    await press(page, 'Enter');
    await tabTo(page, '.list-of-larvae');
    await press(page, 'Home');
    await page.locator('[role=option][aria-posinset="1"][aria-selected=true]').waitFor();
    const first = await title(page);
    await press(page, 'ArrowDown');
    await expect.poll(() => title(page)).not.toBe(first);
    await press(page, 'm');
    await press(page, 'Enter');
    await press(page, 'Shift+ArrowRight', 2);
    await press(page, 'Enter');
    expect(await page.locator('.told').textContent()).toMatch(/\d\.\d µm/);
    await press(page, 'Escape');
    await press(page, 'h');
    expect(await page.getByRole('button', { name: 'Hide outlines' }).getAttribute('aria-pressed')).toBe('true');
    await press(page, 'h');
  });

  it('the address opens the same larva again', async () => {
    const { page } = browsing;
    const [address, before] = [page.url(), await title(page)];
    await page.goto('about:blank');
    await page.goto(address);
    await paths.slideIsReady(page);
    await expect.poll(() => title(page)).toBe(before);
  });

  it('one-letter keys can be switched off', async () => {
    const { page } = browsing;
    const before = await title(page);
    const slide = page.url();
    await page.getByRole('link', { name: 'Settings' }).press('Enter');
    await page.getByLabel('Single keys do something').press('Space');
    await page.goto(slide);
    await paths.slideIsReady(page);
    await expect.poll(() => title(page)).toBe(before);
    await press(page, '8');
    await page.waitForTimeout(300);
    expect(await title(page)).toBe(before);
    expect(browsing.faults).toEqual([]);
  });
});
