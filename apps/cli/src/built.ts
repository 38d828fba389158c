import { statSync } from 'node:fs';

/** Packages that the program is made of, from the folder of this module. */
const ROOMS = [
  '..',
  '../../server',
  ...['api', 'estimation', 'hatchery', 'imaging', 'jobs', 'model', 'review', 'season', 'storage'].map(
    (name) => `../../../packages/${name}`,
  ),
];

/** The compiler writes this file of a package after all others. */
const LAST = 'dist/.tsbuildinfo';

/** npm writes this file at each installation of libraries. */
const INSTALLED = '../../../node_modules/.package-lock.json';

const changedAt = (file: URL): number => statSync(file).mtimeMs;

/**
 * A module of the program to load or to run: as `npm run build` puts it into few files, which are read several times as fast
 * as the thousand that they are made of; or as it was compiled, where there are no such files or something that they are
 * made of has been compiled or installed since.
 *
 * @param compiled where the compiler put it, from the folder of this module, such as `count/count-worker.js`; among the few
 *   files it has the same name without folder
 * @param folder where this module lies
 */
export function built(compiled: string, folder: URL = new URL('.', import.meta.url)): URL {
  const bundled = new URL(`bundled/${compiled.replace(/.*\//, '')}`, folder);
  try {
    const made = changedAt(bundled);
    const parts = [...ROOMS.map((room) => `${room}/${LAST}`), INSTALLED];
    const isFresh = parts.every((part) => changedAt(new URL(part, folder)) <= made);
    if (isFresh) return bundled;
  } catch {
    // not built, or installed in another way
  }
  return new URL(compiled, folder);
}
