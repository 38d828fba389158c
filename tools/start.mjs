import { runNode } from './run.mjs';
import { runScript, setUp } from './setup.mjs';

runScript(() => {
  setUp();
  return runNode(['apps/cli/dist/main.js', 'count', 'sample-images', '--out', 'veligrid-out', '--overlay']);
});
