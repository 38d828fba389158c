import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axeFaults } from './support/axe.js';
import { openBrowser, type Browsing } from './support/browser.js';
import { serve, type Served } from './support/serve.js';

const PASSWORD = 'oysters at low tide';

describe('accounts', { timeout: 120_000 }, () => {
  let served: Served;
  let manager: Browsing;
  let other: Browsing;

  beforeAll(async () => {
    served = await serve(undefined, ['--accounts']);
    manager = await openBrowser('desktop');
    other = await openBrowser('phone');
    for (const { page } of [manager, other]) page.setDefaultTimeout(30_000);
  }, 120_000);
  afterAll(async () => {
    await manager.close();
    await other.close();
    await served.close();
  });

  it('begin with the code on the console, which makes the first manager', async () => {
    const { page } = manager;
    await page.goto(served.url);
    await page.getByRole('heading', { name: 'First manager' }).waitFor();
    expect(await axeFaults(page)).toEqual([]);
    const code = /works once: (\S+)/.exec(served.said())?.[1] ?? '';
    await page.getByLabel('One-time code').fill(code);
    await page.getByLabel('Name').fill('Ana');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Become the first manager' }).click();
    await page.getByRole('heading', { name: /^Morning/, level: 1 }).waitFor();
  });

  it('the manager adds staff, who may do what their role allows', async () => {
    const { page } = manager;
    await page.getByRole('link', { name: 'Settings' }).click();
    const form = page.getByRole('heading', { name: 'Add one of the staff' }).locator('..');
    await form.getByLabel('Name').fill('Ben');
    await form.getByLabel('May', { exact: true }).selectOption('viewer');
    await form.getByLabel('First password').fill(PASSWORD);
    await form.getByRole('button', { name: 'Add', exact: true }).click();
    await page.getByRole('rowheader', { name: 'Ben' }).waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await other.page.goto(served.url);
    await other.page.getByLabel('Name').fill('Ben');
    await other.page.getByLabel('Password').fill(PASSWORD);
    await other.page.getByRole('button', { name: 'Sign in' }).click();
    await other.page.getByRole('link', { name: 'Counts' }).click();
    await other.page.getByRole('heading', { name: 'Counts', level: 1 }).waitFor();
    expect(await other.page.getByRole('link', { name: 'Begin a count' }).count()).toBe(0);
  });

  it('a changed role takes effect, and who has left is out', async () => {
    const { page } = manager;
    await page.getByLabel('What Ben may do').selectOption('counter');
    await page.getByText('Ben was changed').waitFor();
    await page.getByRole('button', { name: 'Ben has left' }).click();
    await page.getByRole('row', { name: /Ben/ }).getByText('left', { exact: true }).waitFor();
    await other.page.reload();
    await other.page.getByRole('heading', { name: 'Sign in' }).waitFor();
    expect(await axeFaults(other.page)).toEqual([]);
  });

  it('settings of the house are stored for everybody', async () => {
    const { page } = manager;
    await page.getByLabel('Name of the hatchery').fill('Tidewater Lane Hatchery');
    await page.getByLabel('A calibration is good for').fill('90');
    await page.getByRole('button', { name: 'Store these settings' }).click();
    await page.getByText('Settings of the house stored').waitFor();
    await page.reload();
    await expect.poll(() => page.getByLabel('A calibration is good for').inputValue()).toBe('90');
    expect([...manager.faults, ...other.faults]).toEqual([]);
  });
});
