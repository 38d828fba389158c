import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { root, runNode } from './run.mjs';

/** What the viewer is made of, and the file that is written last. */
const SOURCES = ['apps/web/src', 'apps/web/public', 'apps/web/index.html', 'packages/model/src', 'packages/review/src'];
const BUILT = 'apps/web/dist/index.html';

/**
 * Milliseconds of the latest change below a path; 0 when it is not there.
 *
 * @param {string} path
 * @returns {number}
 */
function latestChange(path) {
  if (!existsSync(path)) return 0;
  const found = statSync(path);
  if (!found.isDirectory()) return found.mtimeMs;
  return Math.max(found.mtimeMs, ...readdirSync(path).map((name) => latestChange(join(path, name))));
}

/**
 * Builds the viewer when its source is newer than what was built last.
 *
 * @returns {number} exit code
 */
export function buildViewer() {
  const changed = Math.max(...SOURCES.map((path) => latestChange(join(root, path))));
  if (changed <= latestChange(join(root, BUILT))) return 0;
  return runNode(['node_modules/vite/bin/vite.js', 'build', 'apps/web', '--logLevel', 'error']);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.exitCode = buildViewer();
