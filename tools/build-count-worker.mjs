import { pathToFileURL } from 'node:url';
import { isNewer } from './is-newer.mjs';
import { runNode } from './run.mjs';

/** What tells that one of the packages in the worker was compiled, and how the worker is put into one file. */
const SOURCES = ['packages/model', 'packages/imaging', 'apps/cli']
  .map((room) => `${room}/dist/.tsbuildinfo`)
  .concat('apps/cli/vite.config.ts');
const BUILT = 'apps/cli/dist/bundled/count-worker.js';

/**
 * Puts the compiled worker thread of `veligrid count` into one file when a part of it is newer than that file.
 *
 * @returns {number} exit code
 */
export function buildCountWorker() {
  if (!isNewer(SOURCES, BUILT)) return 0;
  return runNode(['node_modules/vite/bin/vite.js', 'build', 'apps/cli', '--logLevel', 'error']);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.exitCode = buildCountWorker();
