import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { openBrowser, type Browsing } from './support/browser.js';
import * as paths from './support/paths.js';
import { serve, type Served } from './support/serve.js';

const title = (page: Page): Promise<string | null> =>
  page.getByRole('region', { name: 'Selected larva' }).getByRole('heading', { level: 2 }).textContent();

describe('nothing is lost', () => {
  let served: Served;
  let ana: Browsing;
  let ben: Browsing;
  let slide = '';

  beforeAll(async () => {
    served = await serve();
    ana = await openBrowser('desktop');
    ben = await openBrowser('desktop');
    for (const { page } of [ana, ben]) page.setDefaultTimeout(30_000);
    await paths.arrive(ana.page, served.url, 'Ana');
    await paths.arrive(ben.page, served.url, 'Ben');
  }, 120_000);
  afterAll(async () => {
    await ana.close();
    await ben.close();
    await served.close();
  });

  it('when the server is killed while it counts', async () => {
    const { page } = ana;
    await paths.beginCount(page, 'Tank 4');
    await paths.addPhotos(page, [paths.SLIDE]);
    await page.getByText(paths.SLIDE).waitFor();
    await served.kill();
    await served.again();
    await page.reload();
    await paths.waitForCounted(page, 1);
  }, 200_000);

  it('when the server is killed under the hand: decisions wait in the browser and are stored later', async () => {
    const { page } = ana;
    await paths.openSlide(page);
    await page.keyboard.press('n');
    await expect.poll(() => title(page)).toMatch(/\d+, /);
    slide = page.url();
    await served.kill();
    await page.keyboard.press('6');
    await page.getByText('1 decision not stored yet').waitFor();
    await expect.poll(() => title(page)).toContain('eyed');
    await served.again();
    await paths.allStored(page);
    await page.reload();
    await paths.slideIsReady(page);
    await expect.poll(() => title(page)).toContain('eyed');
  }, 120_000);

  it('when the page is left before anything could be stored', async () => {
    const { page } = ana;
    await served.kill();
    await page.keyboard.press('5');
    await page.getByText('1 decision not stored yet').waitFor();
    await page.goto('about:blank');
    await served.again();
    await page.goto(slide);
    await paths.slideIsReady(page);
    await paths.allStored(page);
    await expect.poll(() => title(page)).toContain('umbo');
  }, 120_000);

  it('when two people work on one slide: both see what both decided', async () => {
    await ben.page.goto(slide);
    await paths.slideIsReady(ben.page);
    await expect.poll(() => title(ben.page)).toContain('umbo');
    await ana.page.keyboard.press('f');
    await paths.allStored(ana.page);
    await expect
      .poll(() => ben.page.getByRole('button', { name: 'normal', exact: true }).getAttribute('aria-pressed'), {
        timeout: 15_000,
      })
      .toBe('true');
    await ben.page.keyboard.press('4');
    await paths.allStored(ben.page);
    await expect.poll(() => title(ana.page), { timeout: 15_000 }).toContain('D-larva');
    expect([...ana.faults, ...ben.faults]).toEqual([]);
  }, 120_000);
});
