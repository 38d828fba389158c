import { check } from './check.mjs';
import { runNode } from './run.mjs';
import { runScript, setUp } from './setup.mjs';

// With arguments only those test files are run: npm test -- tests/model
const files = process.argv.slice(2);

runScript(() => {
  setUp();
  return files.length > 0 ? runNode(['node_modules/vitest/vitest.mjs', 'run', ...files]) : check();
});
