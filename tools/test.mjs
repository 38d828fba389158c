import { check } from './check.mjs';
import { installChromium } from './chromium.mjs';
import { runNode } from './run.mjs';
import { runScript, setUp } from './setup.mjs';

// With arguments only those test files are run: npm test -- tests/model
const files = process.argv.slice(2);

await runScript(() => {
  setUp();
  if (!installChromium())
    console.error('No Chromium could be had: the tests of the viewer will fail. Install one and try again.');
  return files.length > 0 ? runNode(['node_modules/vitest/vitest.mjs', 'run', ...files]) : check();
});
