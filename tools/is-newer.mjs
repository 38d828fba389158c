import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './run.mjs';

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
 * Tells whether something was changed after a file was built of it, or that file is missing.
 *
 * @param {readonly string[]} sources files and folders below the project's folder
 * @param {string} built the file, below the project's folder
 * @returns {boolean}
 */
export function isNewer(sources, built) {
  return Math.max(...sources.map((path) => latestChange(join(root, path)))) > latestChange(join(root, built));
}
