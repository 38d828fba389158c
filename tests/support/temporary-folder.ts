import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * Gives all tests, and the programs that they start, one folder for temporary files, which is gone after the last of them: the
 * processes of tests are ended from outside and can't tidy up themselves.
 *
 * @returns what is done after all tests
 */
export default function setup(): () => void {
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-'));
  process.env['TMPDIR'] = folder;
  return () => {
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
  };
}
