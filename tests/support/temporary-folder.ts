import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const OURS = 'VELIGRID_TESTS_FOLDER';

/**
 * Gives all tests, and the programs that they start, one folder for temporary files, which is gone after the last of them: the
 * processes of tests are ended from outside and can't tidy up themselves. Called once for each project of tests.
 *
 * @returns what is done after all tests
 */
export default function setup(): (() => void) | undefined {
  if (process.env[OURS] !== undefined) return undefined;
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-'));
  // a database that tests start has an account of its own
  chmodSync(folder, 0o755);
  process.env[OURS] = folder;
  for (const name of ['TMPDIR', 'TEMP', 'TMP']) process.env[name] = folder;
  return () => {
    try {
      rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
    } catch (error) {
      process.stderr.write(`The tests left something behind in ${folder}: ${String(error)}\n`);
    }
  };
}
