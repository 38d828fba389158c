import { pathToFileURL } from 'node:url';
import { isNewer } from './is-newer.mjs';
import { runNode } from './run.mjs';

/** What the viewer is made of, and the file that is written last. */
const SOURCES = ['apps/web/src', 'apps/web/public', 'apps/web/index.html', 'packages/model/src', 'packages/review/src'];
const BUILT = 'apps/web/dist/index.html';

/**
 * Builds the viewer when its source is newer than what was built last.
 *
 * @returns {number} exit code
 */
export function buildViewer() {
  if (!isNewer(SOURCES, BUILT)) return 0;
  return runNode(['node_modules/vite/bin/vite.js', 'build', 'apps/web', '--logLevel', 'error']);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.exitCode = buildViewer();
