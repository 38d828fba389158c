import { pathToFileURL } from 'node:url';
import { isNewer } from './is-newer.mjs';
import { runNode } from './run.mjs';

/** Packages that the program is made of. */
const ROOMS = [
  ...['api', 'estimation', 'hatchery', 'imaging', 'jobs', 'model', 'review', 'season', 'storage'].map(
    (name) => `packages/${name}`,
  ),
  'apps/server',
  'apps/cli',
];
/** What tells that one of them was compiled, and how the program is put into few files; and the file that is there in the end. */
const SOURCES = [...ROOMS.map((room) => `${room}/dist/.tsbuildinfo`), 'apps/cli/vite.config.ts'];
const BUILT = 'apps/cli/dist/bundled/run.js';

/**
 * Puts the compiled program into few files when a part of it is newer than they are.
 *
 * @returns {number} exit code
 */
export function buildProgram() {
  if (!isNewer(SOURCES, BUILT)) return 0;
  return runNode(['node_modules/vite/bin/vite.js', 'build', 'apps/cli', '--logLevel', 'error']);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.exitCode = buildProgram();
