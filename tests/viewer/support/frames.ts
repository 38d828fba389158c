import type { Page } from 'playwright-core';

/** Milliseconds between the frames of the page while something is done with it. */
export async function framesDuring(page: Page, work: () => Promise<void>): Promise<number[]> {
  await page.evaluate(() => {
    const frames: number[] = [];
    const note = (now: number): void => {
      frames.push(now);
      requestAnimationFrame(note);
    };
    requestAnimationFrame(note);
    Object.assign(globalThis, { frames });
  });
  await work();
  const times = await page.evaluate(() => (globalThis as unknown as { frames: number[] }).frames.slice());
  return times.slice(1).map((time, i) => time - (times[i] ?? time));
}

/** Milliseconds from a key to the frame that shows the stage it gives, card and outline both. */
export async function relabel(page: Page, key: string, stage: string): Promise<number> {
  await page.evaluate((wanted) => {
    addEventListener(
      'keydown',
      () => {
        const begun = performance.now();
        const look = (): void => {
          const title = document.querySelector('.card h2')?.textContent ?? '';
          if (title.includes(wanted)) Object.assign(globalThis, { shown: performance.now() - begun });
          else requestAnimationFrame(look);
        };
        requestAnimationFrame(look);
      },
      { capture: true, once: true },
    );
    Object.assign(globalThis, { shown: undefined });
  }, stage);
  await page.keyboard.press(key);
  const shown = await page.waitForFunction(() => (globalThis as { shown?: number }).shown);
  return Number(await shown.jsonValue());
}
