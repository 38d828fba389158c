import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import sharp from 'sharp';
import { drawnRuler } from '../imaging/ruler/drawn-ruler.js';
import { axeFaults } from './support/axe.js';
import { openBrowser, type Browsing } from './support/browser.js';
import * as paths from './support/paths.js';
import { serve, type Served } from './support/serve.js';

const ruled = fileURLToPath(new URL('../../sample-images/drawn/calibration_00.jpg', import.meta.url));

describe('what goes with counting', { timeout: 120_000 }, () => {
  let served: Served;
  let browsing: Browsing;

  beforeAll(async () => {
    served = await serve();
    browsing = await openBrowser('desktop');
    browsing.page.setDefaultTimeout(30_000);
    await paths.arrive(browsing.page, served.url);
  }, 120_000);
  afterAll(async () => {
    await browsing.close();
    await served.close();
  });

  it('a calibration by two points, set by keys alone', async () => {
    const { page } = browsing;
    await page.getByRole('link', { name: 'Settings' }).click();
    await page.getByRole('link', { name: 'Calibration' }).click();
    await page.getByLabel('The picture shows').selectOption('points');
    await page.locator('input[type=file]').setInputFiles(ruled);
    const picture = page.getByRole('application', { name: 'Picture with two points' });
    await picture.focus();
    await page.keyboard.press('Enter');
    // Eight long steps of 0.05 of the width in view, which is all of the picture: 0.4 of its width.
    for (let i = 0; i < 8; i++) await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Enter');
    await page.getByText('2 points set').waitFor();
    await page.getByLabel('Distance between the points').fill('1000');
    const width = await page.locator('.point-picture image').getAttribute('width');
    const expected = 1000 / (0.4 * Number(width));
    await page.getByText(`${expected.toFixed(4)} µm a pixel`).waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.getByLabel('Microscope', { exact: true }).fill('Bench 1');
    await page.getByLabel('Objective').fill('4x');
    await page.getByLabel('Objective').press('Enter');
    await page.getByRole('rowheader', { name: 'Bench 1, 4x' }).waitFor();
  });

  it('a calibration by the lines found on a stage micrometer, accepted by one button', async () => {
    const { page } = browsing;
    const { width, height, data } = drawnRuler({ division: 12.5 });
    const buffer = await sharp(Buffer.from(data), { raw: { width, height, channels: 3 } })
      .png()
      .toBuffer();
    await page.getByLabel('The picture shows').selectOption('stage-micrometer');
    await page.getByLabel('Smallest division, or side of a square').fill('10');
    await page.locator('input[type=file]').setInputFiles([{ name: 'ruler.png', mimeType: 'image/png', buffer }]);
    // 10 um over 12.5 px
    await page.getByText(/Lines found: 0\.(800|799)\d µm a pixel/).waitFor();
    expect(await page.locator('.point-picture svg path[stroke="#d55e00"]').count()).toBeGreaterThan(50);
    expect(await axeFaults(page)).toEqual([]);
    await page.getByLabel('Microscope', { exact: true }).fill('Bench 1');
    await page.getByLabel('Objective').fill('10x');
    await page.getByRole('button', { name: 'Store this calibration' }).click();
    const row = page.getByRole('row', { name: /Bench 1, 10x/ });
    expect(await row.textContent()).toMatch(/0\.(800|799)\d.* lines of a ruler, 10 um a division/);
  });

  it('rows: a range is selected by keys and relabelled in one go', async () => {
    const { page } = browsing;
    await page.getByRole('link', { name: 'Counts' }).click();
    await paths.beginCount(page, 'Tank 4');
    await paths.addPhotos(page, ['early_03.jpg']);
    await paths.waitForCounted(page, 1);
    await paths.toStep(page, 'Rows');
    const list = page.getByRole('listbox', { name: 'Rows of larvae' });
    await list.focus();
    // The first larva, then everything from it into the third column: three or more.
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    const told = await page.getByRole('heading', { name: /larvae selected/ }).textContent();
    const selected = Number(told?.split(' ')[0]);
    expect(selected).toBeGreaterThan(2);
    await page.keyboard.press('q');
    await expect.poll(() => page.getByRole('option', { selected: true, name: /unsure/ }).count()).toBe(selected);
    await paths.allStored(page);
  });

  it('lengths: a bar leads to its larvae', async () => {
    const { page } = browsing;
    await paths.toStep(page, 'Lengths');
    const bar = page.getByRole('link', { name: /show these larvae/ }).first();
    await bar.focus();
    await page.keyboard.press('Enter');
    await page.getByRole('link', { name: /^Only \d+–\d+ µm/ }).waitFor();
    await page.locator('.crop').first().waitFor();
  });

  it('a square is tallied by eye without outlines, and a signed-off count can be taken away as CSV', async () => {
    const { page } = browsing;
    await paths.toStep(page, 'Sign off');
    await page.getByText('Audit of early_03.jpg').click();
    await page.getByLabel('Seen by eye').fill('14');
    await page.getByRole('button', { name: 'Store this tally' }).click();
    await page.getByText('1 of 1 tallied').waitFor();
    await page.getByRole('button', { name: 'Looked at' }).click();
    await page.getByText('looked at by Ana').waitFor();
    await page.getByRole('button', { name: 'Sign off this count' }).click();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Download CSV' }).click(),
    ]);
    expect(readFileSync(await download.path(), 'utf8').split('\n')[0]).toContain('length_um');
    expect(browsing.faults).toEqual([]);
  });
});
