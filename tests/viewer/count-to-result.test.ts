import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axeFaults } from './support/axe.js';
import { openBrowser, SCREENS, type Browsing, type ScreenName } from './support/browser.js';
import * as paths from './support/paths.js';
import { serve, type Served } from './support/serve.js';

/** From dropped photos to a signed-off result, on each size of screen, with every page looked at by axe-core. */
describe.each(Object.keys(SCREENS) as ScreenName[])('a count on a %s', { timeout: 180_000 }, (screen) => {
  let served: Served;
  let browsing: Browsing;

  beforeAll(async () => {
    served = await serve();
    browsing = await openBrowser(screen);
    browsing.page.setDefaultTimeout(20_000);
  });
  afterAll(async () => {
    await browsing.close();
    await served.close();
  });

  it('asks who is there, lists counts, refuses a form with holes', async () => {
    const { page } = browsing;
    await page.goto(served.url);
    await page.getByRole('heading', { name: 'Who is at the microscope?' }).waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await paths.arrive(page, served.url);
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('link', { name: 'Begin a count' }).click();
    await page.getByRole('button', { name: 'Begin, then add photos' }).click();
    await page.getByText('Say which tank.').waitFor();
    await page.getByText('Give a volume above 0.').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Cancel' }).click();
  });

  it('counts photos at once and says why one is refused', async () => {
    const { page } = browsing;
    await paths.beginCount(page, 'Tank 4');
    await page
      .locator('input[type=file][multiple]')
      .setInputFiles([{ name: 'no-photo.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('this is no picture') }]);
    await page.getByRole('alert').filter({ hasText: 'no-photo.jpg' }).waitFor();
    await paths.addPhotos(page, [paths.SLIDE]);
    await paths.waitForCounted(page, 1);
    expect(await axeFaults(page)).toEqual([]);
  });

  it('shows the slide; one tap selects, one relabels, and undo takes it back', async () => {
    const { page } = browsing;
    await paths.openSlide(page);
    await page.getByRole('button', { name: /^Next$/ }).click();
    await page.getByRole('button', { name: 'Right as it is' }).waitFor();
    const title = page.getByRole('region', { name: 'Selected larva' }).getByRole('heading', { level: 2 });
    const before = await title.textContent();
    await page.getByRole('button', { name: /^eyed/ }).click();
    await expect.poll(() => title.textContent()).toContain('eyed');
    await paths.allStored(page);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => title.textContent()).toBe(before);
    await page.getByRole('button', { name: 'Redo' }).click();
    await expect.poll(() => title.textContent()).toContain('eyed');
    await paths.allStored(page);
    expect(await axeFaults(page)).toEqual([]);
  });

  it('adds a larva by two taps and shows it in rows and lengths', async () => {
    const { page } = browsing;
    await page.getByRole('button', { name: 'Whole photo' }).click();
    await page.getByRole('button', { name: 'Add a larva' }).click();
    const stage = page.locator('.stage-view');
    const box = await stage.boundingBox();
    if (box === null) throw new Error('The slide is not there');
    for (const across of [0.45, 0.5]) {
      const position = { x: box.width * across, y: box.height * 0.55 };
      if (SCREENS[screen].touch) await stage.tap({ position });
      else await stage.click({ position });
    }
    await page.getByRole('button', { name: 'Done' }).click();
    await page.getByText('Drawn by hand').waitFor();
    await paths.allStored(page);
    await paths.toStep(page, 'Rows');
    await page
      .getByRole('option', { name: /^h\w{4}, / })
      .first()
      .waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await paths.toStep(page, 'Lengths');
    await page.getByRole('group', { name: /Lengths by stage/ }).waitFor();
    expect(await axeFaults(page)).toEqual([]);
  });

  it('signs off, shows the total with limits, prints it, and opens again only with a reason', async () => {
    const { page } = browsing;
    await paths.toStep(page, 'Sign off');
    await page.getByRole('button', { name: 'Looked at' }).click();
    await page.getByText('looked at by Ana').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Sign off this count' }).click();
    await page.getByRole('heading', { name: 'Result' }).waitFor();
    const total = page.getByRole('row', { name: /All, dead ones included/ });
    expect(await total.textContent()).toMatch(/\d to \d/);
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('link', { name: 'Print the count sheet' }).click();
    await page.getByRole('heading', { name: 'Count sheet, Tank 4' }).waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await paths.toStep(page, 'Sign off');
    await page.getByText('Open this count again').click();
    await page.getByLabel('Reason').fill('Square B2 was under a bubble');
    await page.getByRole('button', { name: 'Open again' }).click();
    await page.getByRole('button', { name: 'Sign off this count' }).waitFor();
    await page.getByText('Earlier results (1)').click();
    await page.getByText('Square B2 was under a bubble').waitFor();
  });

  it('passes axe-core on the pages beside a count, and nothing went wrong on the way', async () => {
    const { page } = browsing;
    for (const name of ['Settings', 'Calibration', 'Stage rules'] as const) {
      await page.getByRole('link', { name, exact: true }).click();
      await page.getByRole('heading', { level: 1, name }).waitFor();
      expect(await axeFaults(page)).toEqual([]);
    }
    expect(browsing.faults).toEqual([]);
  });
});
