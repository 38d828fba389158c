import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { openBrowser, SCREENS, type ScreenName } from '../tests/viewer/support/browser.js';
import * as paths from '../tests/viewer/support/paths.js';
import { serve } from '../tests/viewer/support/serve.js';
import { buildViewer } from './build-viewer.mjs';
import { root } from './run.mjs';

/** Where the pictures go; git leaves it out. */
const FOLDER = join(root, 'screenshots');

/** Pages beside those of a count. */
const PAGES = ['counts', 'begin', 'settings/calibration', 'settings/rules', 'settings'] as const;

async function shoot(page: Page, name: string): Promise<void> {
  // Pictures of larvae and outlines come a moment after the page itself.
  await page.waitForTimeout(1200);
  await page.screenshot({ path: join(FOLDER, `${name}.png`) });
  await page.screenshot({ path: join(FOLDER, `${name}-all.png`), fullPage: true });
}

/** Makes one count, and pictures of each of its pages before and after it is signed off. */
async function shootCount(page: Page, url: string, screen: ScreenName): Promise<string> {
  const count = /count\/([\w-]+)/.exec(await paths.beginCount(page, `Tank on a ${screen}`))?.[1] ?? '';
  await paths.addPhotos(page, [paths.SLIDE, 'early_03.jpg']);
  await shoot(page, `${screen}-photos-counting`);
  await paths.waitForCounted(page, 2);
  await shoot(page, `${screen}-photos`);
  await paths.openSlide(page);
  await shoot(page, `${screen}-slide`);
  await page.getByRole('button', { name: /^Next$/ }).click();
  await shoot(page, `${screen}-slide-selected`);
  await page.getByRole('button', { name: 'Split' }).click();
  await shoot(page, `${screen}-slide-tool`);
  await page.getByRole('button', { name: 'Cancel' }).click();
  for (const step of ['Rows', 'Lengths', 'Sign off'] as const) {
    await paths.toStep(page, step);
    await shoot(page, `${screen}-${step.toLowerCase().replace(' ', '-')}`);
  }
  for (let left = 2; left > 0; left--) {
    await page.getByRole('button', { name: 'Looked at' }).first().click();
    await page
      .getByText('looked at by Ana')
      .nth(2 - left)
      .waitFor();
  }
  await page.getByRole('button', { name: 'Sign off this count' }).click();
  await page.getByRole('heading', { name: 'Result' }).waitFor();
  await shoot(page, `${screen}-result`);
  await page.getByRole('link', { name: 'Print the count sheet' }).click();
  await shoot(page, `${screen}-print`);
  await page.goto(`${url}/`);
  return count;
}

async function shootAll(url: string, screen: ScreenName): Promise<void> {
  const browsing = await openBrowser(screen);
  const { page } = browsing;
  await page.goto(url);
  await page.getByLabel('Name').waitFor();
  await shoot(page, `${screen}-sign-in`);
  await paths.arrive(page, url);
  const count = await shootCount(page, url, screen);
  const seen = (['photos', 'slide', 'rows', 'lengths', 'sign-off'] as const).map(
    (name) => [name, `#/count/${count}/${name}`] as const,
  );
  for (const name of PAGES) {
    await page.goto(`${url}/#/${name}`);
    await shoot(page, `${screen}-${name.replace('/', '-')}`);
  }
  await page.emulateMedia({ colorScheme: 'dark' });
  for (const [name, address] of [['counts', '#/counts'], ...seen]) {
    await page.goto(`${url}/${address}`);
    await shoot(page, `${screen}-${name}-dark`);
  }
  await page.emulateMedia({ colorScheme: 'light' });
  await page.evaluate(() => {
    localStorage.setItem('veligrid.settings', JSON.stringify({ language: 'es' }));
  });
  for (const [name, address] of [['settings', '#/settings'], ['begin', '#/begin'], ...seen]) {
    await page.goto('about:blank');
    await page.goto(`${url}/${address}`);
    await shoot(page, `${screen}-${name}-es`);
  }
  await browsing.close();
}

buildViewer();
mkdirSync(FOLDER, { recursive: true });
const served = await serve();
try {
  for (const screen of Object.keys(SCREENS) as ScreenName[]) await shootAll(served.url, screen);
} finally {
  await served.close();
}
