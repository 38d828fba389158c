import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { chromiumPath } from '../../../tools/chromium.mjs';

/** Sizes of screens that people have beside the microscope. */
export const SCREENS = {
  desktop: { width: 1440, height: 900, touch: false },
  tablet: { width: 1024, height: 768, touch: true },
  phone: { width: 390, height: 844, touch: true },
} as const;
export type ScreenName = keyof typeof SCREENS;

/** One browser as a person has it, with storage of its own. */
export interface Browsing {
  readonly context: BrowserContext;
  readonly page: Page;
  /** What the page said on its console that is an error, and what it threw. */
  readonly faults: string[];
  close(): Promise<void>;
}

/** What Chromium itself logs of its missing services, and the one style that the tile viewer sets inline and the policy drops. */
const HARMLESS = [/Failed to load resource/, /Applying inline style violates/, /Refused to apply inline style/];

/** Milliseconds that Chromium is kept for the next one who wants it: starting it takes as long as many a test. */
const KEPT_MS = 5000;

let running: Promise<Browser> | null = null;
let inUse = 0;
let idle: NodeJS.Timeout | undefined;

function start(): Promise<Browser> {
  const path = chromiumPath();
  return chromium.launch({
    ...(path === undefined ? {} : { executablePath: path }),
    headless: true,
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
}

function take(): Promise<Browser> {
  clearTimeout(idle);
  inUse += 1;
  return (running ??= start());
}

function giveBack(): void {
  inUse -= 1;
  if (inUse > 0) return;
  idle = setTimeout(() => {
    void running?.then((browser) => browser.close());
    running = null;
  }, KEPT_MS);
  // the end of this program ends it too
  idle.unref();
}

/** Opens a browser of a screen's size that has seen nothing yet: what one keeps, another does not see. */
export async function openBrowser(screen: ScreenName = 'desktop'): Promise<Browsing> {
  const { width, height, touch } = SCREENS[screen];
  const browser = await take();
  const context = await browser.newContext({ viewport: { width, height }, hasTouch: touch });
  // The compiler that runs the tests and tools marks functions with it; in the page there is none.
  await context.addInitScript('globalThis.__name = (marked) => marked');
  const page = await context.newPage();
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
      giveBack();
    },
  };
}
