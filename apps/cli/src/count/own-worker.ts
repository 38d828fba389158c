import { statSync } from 'node:fs';

/** Files that the compiler writes after everything else of a package, from the folder of this module. */
const PARTS = [
  '../.tsbuildinfo',
  '../../../../packages/imaging/dist/.tsbuildinfo',
  '../../../../packages/model/dist/.tsbuildinfo',
];

const changedAt = (file: URL): number => statSync(file).mtimeMs;

/**
 * The worker that counts: all in one file, as `npm run build` makes it, which a thread reads several times as fast; the
 * module by itself where there is no such file or something that it was made of has been compiled since.
 *
 * @param folder where this module lies
 */
export function ownWorker(folder: URL = new URL('.', import.meta.url)): URL {
  const bundled = new URL('../bundled/count-worker.js', folder);
  const single = new URL('count-worker.js', folder);
  try {
    const made = changedAt(bundled);
    return PARTS.every((part) => changedAt(new URL(part, folder)) <= made) ? bundled : single;
  } catch {
    return single;
  }
}
