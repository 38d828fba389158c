import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';

const MOST_TABS = 250;

/** Moves the focus by Tab until it is on something; fails when Tab never gets there. */
async function tabUntil(page: Page, what: string, isThere: () => Promise<boolean>): Promise<void> {
  for (let i = 0; i < MOST_TABS; i++) {
    if (await isThere()) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab does not reach ${what}`);
}

/** What has the focus, by its label, its name for screen readers, or its words. */
const focused = (page: Page): Promise<{ tag: string; name: string }> =>
  page.evaluate(() => {
    const on = document.activeElement as HTMLInputElement | null;
    const said = on?.labels?.[0]?.textContent ?? on?.getAttribute('aria-label') ?? on?.textContent ?? '';
    return { tag: on?.tagName ?? '', name: said.trim() };
  });

/** Tabs to a field, link or button of this name. */
export const tabTo = (page: Page, name: string): Promise<void> =>
  tabUntil(page, name, async () => {
    const on = await focused(page);
    return on.tag !== 'BODY' && on.tag !== 'MAIN' && on.name === name;
  });

/** Tabs to a link, button or summary of this name, and presses Enter. */
export async function open(page: Page, name: string): Promise<void> {
  await tabTo(page, name);
  await page.keyboard.press('Enter');
}

/** Tabs to a field and types into it what stands for all that was there. */
export async function type(page: Page, label: string, text: string): Promise<void> {
  await tabTo(page, label);
  await page.keyboard.press('Control+a');
  await page.keyboard.type(text);
}

/** Tabs to a list and chooses by the first letters of what is wanted. */
export async function choose(page: Page, label: string, letters: string): Promise<void> {
  await tabTo(page, label);
  await page.keyboard.type(letters);
}

/** Tabs to a box and ticks it. */
export async function tick(page: Page, label: string): Promise<void> {
  await tabTo(page, label);
  await page.keyboard.press('Space');
}

/** Opens the file dialog by Enter, and chooses a sample photo. */
export async function givePhoto(page: Page, name: string): Promise<void> {
  await tabTo(page, 'Choose photos');
  const [dialog] = await Promise.all([page.waitForEvent('filechooser'), page.keyboard.press('Enter')]);
  await dialog.setFiles(fileURLToPath(new URL(`../../../sample-images/drawn/${name}`, import.meta.url)));
}
