import { runNode } from './run.mjs';

// the test of `npm test`, ten times as long
const kills = process.argv[2] ?? '200';
process.exitCode = runNode(['node_modules/vitest/vitest.mjs', 'run', 'tests/storage/kill.test.ts'], {
  VELIGRID_KILLS: kills,
});
