import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { openBrowser, type Browsing } from './support/browser.js';
import { choose, givePhoto, open, tabTo, tick, type } from './support/by-keyboard.js';
import * as paths from './support/paths.js';
import { serve, type Served } from './support/serve.js';

const heading = (page: Page, name: string): Promise<void> =>
  page.getByRole('heading', { name, level: 1, exact: true }).waitFor();

/** The last field was left: what was typed is sent. */
const send = (page: Page): Promise<void> => page.keyboard.press('Enter');

describe('a season by keyboard alone, in an empty hatchery', { timeout: 120_000 }, () => {
  let served: Served;
  let browsing: Browsing;

  /** What the server has kept. */
  const kept = async <T>(path: string): Promise<T> =>
    (await (await browsing.page.request.get(`${served.url}/api/v1${path}`)).json()) as T;
  const idOf = async (path: '/batches' | '/spawns' | '/tanks', name: string): Promise<string> => {
    const [list = []] = Object.values(await kept<Record<string, { id: string; name: string }[]>>(path));
    return list.find((one) => one.name === name)?.id ?? '';
  };

  const batch = async (): Promise<void> => {
    const { page } = browsing;
    await open(page, 'Batches');
    await heading(page, 'Batches');
    await open(page, 'A');
    await page.getByRole('heading', { name: /A$/, level: 1 }).waitFor();
  };

  beforeAll(async () => {
    served = await serve();
    browsing = await openBrowser('desktop');
    browsing.page.setDefaultTimeout(30_000);
    // asks Chromium for file dialogs from the start: asked only when the key is pressed, it may come too late
    browsing.page.on('filechooser', () => undefined);
    await browsing.page.goto(served.url);
    await browsing.page.getByLabel('Name').waitFor();
    await type(browsing.page, 'Name', 'Ana');
    await send(browsing.page);
  }, 200_000);
  afterAll(async () => {
    await browsing.close();
    await served.close();
  });

  it('names a tank', async () => {
    const { page } = browsing;
    await open(page, 'Settings');
    await heading(page, 'Settings');
    await open(page, 'Tanks');
    await heading(page, 'Tanks');
    await type(page, 'Name', '1-1');
    await type(page, 'Volume', '2000');
    await send(page);
    await expect.poll(() => idOf('/tanks', '1-1')).not.toBe('');
  });

  it('records animals, a spawn and a cross that was judged before', async () => {
    const { page } = browsing;
    await open(page, 'Spawns');
    await heading(page, 'Spawns');
    await open(page, 'Animals');
    await heading(page, 'Animals');
    for (const tag of ['N-01', 'E-17']) {
      await type(page, 'Tag', tag);
      await send(page);
      await page.getByRole('rowheader', { name: tag }).waitFor();
    }
    await open(page, 'Spawns');
    await heading(page, 'Spawns');
    await type(page, 'What it is called', 'Spawn 1');
    await send(page);
    await heading(page, 'Spawn 1');
    await type(page, 'Tag', 'N-01');
    await type(page, 'Eggs in water, or sperm', '450');
    await type(page, 'Eggs or sperm counted in it', '8000000');
    await send(page);
    await page.getByRole('rowheader', { name: 'N-01' }).waitFor();
    await type(page, 'Tag', 'E-17');
    await choose(page, 'Sex', 'male');
    await type(page, 'Eggs in water, or sperm', '30');
    await send(page);
    await page.getByRole('rowheader', { name: 'E-17' }).waitFor();
    await tick(page, 'N-01');
    await tick(page, 'E-17');
    await page.getByText('Effective number of breeders: 2').waitFor();
    await type(page, 'Eggs', '8000000');
    await send(page);
    await page.getByRole('rowheader', { name: 'X1' }).waitFor();
    await type(page, 'Batch is called', 'A');
    await send(page);
    await page.getByRole('link', { name: 'Count eggs of batch A' }).waitFor();
    const { crosses } = await kept<{ crosses: object[] }>(`/spawns/${await idOf('/spawns', 'Spawn 1')}`);
    expect(crosses).toMatchObject([
      { name: 'X1', eggs: 8_000_000, dams: [{ name: 'N-01' }], sires: [{ name: 'E-17' }], batches: [{ name: 'A' }] },
    ]);
  });

  it('checks fertilisation on a photo, relabels, and signs the count off', async () => {
    const { page } = browsing;
    await open(page, 'Count eggs of batch A');
    await heading(page, 'Begin a count');
    await type(page, 'Tank', '1-1');
    await type(page, 'Volume of the container', '0.27');
    await choose(page, 'Micrometres come from', 'a number');
    await type(page, 'Scale', '1.2202');
    await send(page);
    await heading(page, 'Photos');
    await givePhoto(page, 'eggs_01.jpg');
    await paths.waitForCounted(page, 1);
    await open(page, 'Check this photo');
    await paths.slideIsReady(page);
    const selected = page.getByRole('region', { name: 'Selected larva' }).getByRole('heading', { level: 2 });
    // on a slow machine the larvae come after the photo, and a key pressed before finds none to go to
    await expect
      .poll(
        async () => {
          await page.keyboard.press('n');
          await page.waitForTimeout(500);
          return selected.count();
        },
        { timeout: 30_000 },
      )
      .toBe(1);
    await page.keyboard.press('6');
    await expect
      .poll(() => page.getByRole('region', { name: 'Selected larva' }).getByRole('heading').first().textContent())
      .toContain('eyed');
    await paths.allStored(page);
    await open(page, 'Sign off');
    await heading(page, 'Sign off');
    await open(page, 'Looked at');
    await page.getByText('looked at by Ana').waitFor();
    await open(page, 'Sign off this count');
    await page.getByRole('heading', { name: 'Result' }).waitFor();
    await open(page, 'Spawns');
    await heading(page, 'Spawns');
    await tabTo(page, 'Spawns');
    const spawn = await idOf('/spawns', 'Spawn 1');
    const { fertilisation } = await kept<{ fertilisation: { state: string; answer: { scored: number } }[] }>(
      `/spawns/${spawn}`,
    );
    expect(fertilisation).toMatchObject([{ state: 'signed-off', batchName: 'A' }]);
    expect(fertilisation[0]?.answer.scored).toBeGreaterThan(50);
  });

  it('stocks, counts by eye and culls', async () => {
    const { page } = browsing;
    await batch();
    await open(page, 'Record a move');
    await choose(page, 'What was done', 'stocked');
    await type(page, 'To tank', '1-1');
    await type(page, 'Animals', '8000000');
    await send(page);
    await expect
      .poll(() => kept<{ tanks: object[] }>('/season/batches').then((all) => JSON.stringify(all)))
      .toContain('1-1');
    for (const counts of ['152; 139; 149', '121; 117; 128', '96; 88; 91']) {
      await open(page, 'Counts');
      await heading(page, 'Counts');
      await open(page, 'Count by eye');
      await type(page, 'Tank', '1-1');
      await type(page, 'Volume of the container', '2000');
      await type(page, 'Live ones in each filling', counts);
      await type(page, 'Volume looked at in each filling', '0.5');
      await send(page);
      await page.getByRole('heading', { name: /^After the count: 1-1/, level: 1 }).waitFor();
    }
    const { samples } = await kept<{ samples: { state: string }[] }>('/samples');
    expect(samples.map(({ state }) => state)).toEqual(['signed-off', 'signed-off', 'signed-off', 'signed-off']);
    await batch();
    await open(page, '1-1');
    await page.getByRole('heading', { name: /1-1$/, level: 1 }).waitFor();
    await open(page, 'Record a move');
    await choose(page, 'What was done', 'culled');
    await type(page, 'Animals', '40000');
    await send(page);
    await page.getByText('Recorded.').waitFor();
  });

  it('adds a culture and its reading', async () => {
    const { page } = browsing;
    await open(page, 'Settings');
    await heading(page, 'Settings');
    await open(page, 'Cultures');
    await heading(page, 'Cultures');
    await type(page, 'Name', 'T-4');
    await type(page, 'Alga', 'Tisochrysis lutea');
    await send(page);
    await page.getByRole('heading', { name: /T-4/ }).waitFor();
    await open(page, 'Enter a reading of T-4');
    await type(page, 'Volume', '195');
    await type(page, 'Cells per mL', '4200000');
    await send(page);
    await page.getByText('density as given').waitFor();
  });

  it('feeds by the sheet, on which the house has larvae fed from the first day', async () => {
    const { page } = browsing;
    await open(page, 'House and staff');
    await heading(page, 'Settings');
    await type(page, 'Feed from the age of', '0');
    await send(page);
    await page.getByText('Settings of the house stored').waitFor();
    await open(page, 'Feed');
    await page.getByRole('heading', { name: /^Feed sheet/, level: 1 }).waitFor();
    await open(page, 'Given: T-4 to 1-1');
    await page.getByRole('button', { name: 'Take back: T-4 for 1-1' }).waitFor();
    const { tanks } = await kept<{ tanks: { doses: { given: object[] }[] }[] }>('/feed');
    expect(tanks.flatMap(({ doses }) => doses).flatMap(({ given }) => given)).toMatchObject([{ by: 'Ana' }]);
  });

  it('puts what is left to set', async () => {
    const { page } = browsing;
    await batch();
    await open(page, 'Setting and shipping');
    await heading(page, 'Setting and shipping: batch A');
    await tick(page, 'All that the tank holds: nothing is left in it');
    await type(page, 'What they set on', 'whole shell');
    await send(page);
    await page.getByText('No larvae of this batch are in a tank now.').waitFor();
    const setting = await kept<{ settings: object[] }>(`/batches/${await idOf('/batches', 'A')}/setting`);
    // the last count: 275 in 1.5 mL x 2,000 mL = 366,667, less 40,000 that were culled
    expect(setting.settings).toMatchObject([{ cultch: 'whole shell', larvae: expect.closeTo(326_667, -1) as number }]);
    expect(browsing.faults).toEqual([]);
  });
});
