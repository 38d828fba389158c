import { runNode } from './run.mjs';

// the tests of `npm test`, many times as long; how many of each may be given
const [bodies = '2000', pictures = '1000'] = process.argv.slice(2);
process.exitCode = runNode(['node_modules/vitest/vitest.mjs', 'run', 'tests/fuzz'], {
  VELIGRID_FUZZ_BODIES: bodies,
  VELIGRID_FUZZ_PICTURES: pictures,
});
