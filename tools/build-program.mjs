import { mkdirSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { isNewer } from './is-newer.mjs';
import { root, runNode } from './run.mjs';

/** Packages that the program is made of. */
export const ROOMS = [
  ...['api', 'estimation', 'hatchery', 'imaging', 'jobs', 'model', 'review', 'season', 'storage'].map(
    (name) => `packages/${name}`,
  ),
  'apps/server',
  'apps/cli',
];
/** What tells that one of them was compiled, that libraries were installed, and how the program is put into few files. */
const SOURCES = [
  ...ROOMS.map((room) => `${room}/dist/.tsbuildinfo`),
  'node_modules/.package-lock.json',
  'apps/cli/vite.config.ts',
];
const PLACE = 'apps/cli/dist/bundled';
/** Where vite puts them, as its configuration says. */
const FRESH = `${PLACE}-new`;
/** Files that others are loaded by; they come last. */
const ENTRIES = ['count-worker.js', 'run.js'];
/** A program that is running goes on loading the files that it was started from; nobody lets one run for so long after. */
const KEPT_MS = 7 * 86_400_000;

/** Moves what vite made to where it is used: each file at once, and none is asked for before it is there. */
function putInPlace() {
  const [fresh, place] = [join(root, FRESH), join(root, PLACE)];
  mkdirSync(place, { recursive: true });
  const names = readdirSync(fresh);
  for (const name of [...names.filter((one) => !ENTRIES.includes(one)), ...ENTRIES]) {
    renameSync(join(fresh, name), join(place, name));
  }
  for (const name of readdirSync(place)) {
    const file = join(place, name);
    if (!names.includes(name) && Date.now() - statSync(file).mtimeMs > KEPT_MS) rmSync(file);
  }
}

/**
 * Puts the compiled program into few files when a part of it is newer than they are.
 *
 * @returns {number} exit code
 */
export function buildProgram() {
  if (!isNewer(SOURCES, `${PLACE}/run.js`)) return 0;
  const status = runNode(['node_modules/vite/bin/vite.js', 'build', 'apps/cli', '--logLevel', 'error']);
  if (status === 0) putInPlace();
  rmSync(join(root, FRESH), { recursive: true, force: true });
  return status;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.exitCode = buildProgram();
