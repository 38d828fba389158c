import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import sharp from 'sharp';
import { openBrowser } from '../tests/viewer/support/browser.js';
import { arrive } from '../tests/viewer/support/paths.js';
import { serve } from '../tests/viewer/support/serve.js';
import { buildViewer } from './build-viewer.mjs';
import { root } from './run.mjs';

/** Makes the pictures of a season that README.md and docs/season.md show, from the demo season in the real viewer. */

/** A day in the middle of the demo season, when most pages have something on them. */
const DAY = '2026-05-16';
const WIDTH = 900;
const SIZE = { width: 1280, height: 800 };

interface Listed {
  readonly batches: readonly { readonly id: string; readonly name: string }[];
}
interface Samples {
  readonly samples: readonly { readonly id: string; readonly takenAt: string }[];
}
interface Spawns {
  readonly spawns: readonly { readonly id: string }[];
}

buildViewer();
const served = await serve((folder) => {
  execFileSync(process.execPath, [join(root, 'apps/cli/dist/main.js'), 'demo-season', '--data', folder]);
  return Promise.resolve();
});
const browsing = await openBrowser('desktop');
try {
  const { page } = browsing;
  await page.setViewportSize(SIZE);
  await arrive(page, served.url);
  const asked = async <T>(path: string): Promise<T> => (await (await fetch(`${served.url}/api/v1${path}`)).json()) as T;
  const batch = (await asked<Listed>('/batches')).batches.find(({ name }) => name === 'A')?.id ?? '';
  const { samples } = await asked<Samples>(`/samples?batch=${batch}&state=signed-off`);
  const after = samples.find(({ takenAt }) => takenAt.startsWith(DAY))?.id ?? '';
  const spawn = (await asked<Spawns>('/spawns')).spawns[0]?.id ?? '';
  for (const [name, address] of [
    ['morning', `morning/${DAY}`],
    ['after', `after/${after}`],
    ['feed', `feed/${DAY}`],
    ['batch', `batch/${batch}`],
    ['spawn', `spawn/${spawn}`],
  ] as const) {
    await page.goto(`${served.url}/#/${address}`);
    await page.locator('h1').first().waitFor();
    await page.waitForTimeout(3000);
    const picture = sharp(await page.screenshot()).resize({ width: WIDTH });
    await picture.jpeg({ quality: 72, mozjpeg: true }).toFile(join(root, `docs/images/season-${name}.jpg`));
    process.stdout.write(`docs/images/season-${name}.jpg\n`);
  }
} finally {
  await browsing.close();
  await served.close();
}
