import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';

const sample = (name: string): string =>
  fileURLToPath(new URL(`../../../sample-images/drawn/${name}`, import.meta.url));

/** The slide that most paths use: some 50 umbo and eyed larvae, a few of which need a look, in 3 megapixels. */
export const SLIDE = 'eyed_05.jpg';

/** A slide with larvae that need a look and none in its very middle, where the cross begins. */
export const EMPTY_MIDDLE = 'crowded_03.jpg';

/** Opens the list of counts and says who is at the microscope. */
export async function arrive(page: Page, url: string, name = 'Ana'): Promise<void> {
  await page.goto(`${url}/#/counts`);
  await page.getByLabel('Name').fill(name);
  await page.getByRole('button', { name: 'Go on' }).click();
  await page.getByRole('heading', { name: 'Counts', level: 1 }).waitFor();
}

/** Begins a count of a new tank; ends on the page of its photos, whose address it gives. */
export async function beginCount(page: Page, tank: string): Promise<string> {
  await page.getByRole('link', { name: 'Begin a count' }).click();
  await page.getByLabel('Tank', { exact: true }).fill(tank);
  await page.getByLabel('Volume of the container').fill('200');
  await page.getByRole('button', { name: 'Add a step' }).click();
  await page.getByLabel('Taken', { exact: true }).fill('10');
  await page.getByLabel('Made up to').fill('100');
  await page.getByRole('button', { name: 'Begin, then add photos' }).click();
  await page.getByRole('heading', { name: 'Photos', level: 1 }).waitFor();
  return page.url();
}

/** Gives photos to the page as if chosen in the file dialog. */
export async function addPhotos(page: Page, names: readonly string[]): Promise<void> {
  await page.locator('input[type=file][multiple]').setInputFiles(names.map(sample));
}

/** Waits until so many photos are counted. */
export async function waitForCounted(page: Page, photos: number): Promise<void> {
  await page
    .getByRole('link', { name: 'Check this photo' })
    .nth(photos - 1)
    .waitFor({ timeout: 120_000 });
}

/** Opens the slide of the first photo, and waits for photo and outlines. */
export async function openSlide(page: Page): Promise<void> {
  await page.getByRole('link', { name: 'Check this photo' }).first().click();
  await slideIsReady(page);
}

/** Waits until the photo is drawn and the larvae are listed. */
export async function slideIsReady(page: Page): Promise<void> {
  await page.locator('.stage-view .openseadragon-canvas').waitFor();
  await page.locator('.stage-view .preview').waitFor({ state: 'detached', timeout: 20_000 });
}

/** Opens another page of the count that is open. */
export async function toStep(page: Page, step: 'Photos' | 'Slide' | 'Rows' | 'Lengths' | 'Sign off'): Promise<void> {
  await page.getByRole('navigation', { name: 'Steps of this count' }).getByRole('link', { name: step }).click();
}

/** Waits until nothing waits to be stored. */
export async function allStored(page: Page): Promise<void> {
  await page.getByText(/not stored yet/).waitFor({ state: 'detached', timeout: 20_000 });
}
