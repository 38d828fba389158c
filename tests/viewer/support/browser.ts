import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { chromiumPath } from '../../../tools/chromium.mjs';

/** Sizes of screens that people have beside the microscope. */
export const SCREENS = {
  desktop: { width: 1440, height: 900, touch: false },
  tablet: { width: 1024, height: 768, touch: true },
  phone: { width: 390, height: 844, touch: true },
} as const;
export type ScreenName = keyof typeof SCREENS;

/** One browser with a profile of its own. */
export interface Browsing {
  readonly context: BrowserContext;
  readonly page: Page;
  /** What the page said on its console that is an error, and what it threw. */
  readonly faults: string[];
  close(): Promise<void>;
}

/** What Chromium itself logs of its missing services, and the one style that the tile viewer sets inline and the policy drops. */
const HARMLESS = [/Failed to load resource/, /Applying inline style violates/, /Refused to apply inline style/];

/** Opens a fresh browser of a screen's size. */
export async function openBrowser(screen: ScreenName = 'desktop'): Promise<Browsing> {
  const profile = mkdtempSync(join(tmpdir(), 'veligrid-browser-'));
  const { width, height, touch } = SCREENS[screen];
  const path = chromiumPath();
  const context = await chromium.launchPersistentContext(profile, {
    ...(path === undefined ? {} : { executablePath: path }),
    headless: true,
    viewport: { width, height },
    hasTouch: touch,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
  // The compiler that runs the tests and tools marks functions with it; in the page there is none.
  await context.addInitScript('globalThis.__name = (marked) => marked');
  const page = context.pages()[0] ?? (await context.newPage());
  const faults: string[] = [];
  page.on('pageerror', ({ message }) => faults.push(message));
  page.on('console', (message) => {
    const text = message.text();
    if (message.type() === 'error' && !HARMLESS.some((known) => known.test(text))) faults.push(text);
  });
  return {
    context,
    page,
    faults,
    async close() {
      await context.close();
      rmSync(profile, { recursive: true, force: true });
    },
  };
}
