import { runNode } from './run.mjs';
import { runScript, setUp } from './setup.mjs';

const MAIN = 'apps/cli/dist/main.js';

// npm start: the viewer with its demo. npm start -- count: the sample photos on the command line.
const [what = 'serve', ...more] = process.argv.slice(2);

await runScript(() => {
  setUp();
  if (what === 'count') {
    return runNode([MAIN, 'count', 'sample-images', '--out', 'veligrid-out', '--overlay', ...more]);
  }
  const options = what === 'serve' ? more : [what, ...more];
  return runNode([MAIN, 'serve', '--open', ...options]);
});
