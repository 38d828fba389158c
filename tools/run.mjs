import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** Folder of the project, whatever folder a script is started from. */
export const root = fileURLToPath(new URL('..', import.meta.url));

/**
 * Runs a script with the same Node in the project's folder, with its output shown.
 *
 * @param {readonly string[]} command the script's path below the project's folder (or absolute), then its arguments
 * @param {NodeJS.ProcessEnv} [extra] environment variables to add
 * @returns {number} exit code; 1 when a signal ended it
 */
export function runNode(command, extra = {}) {
  const { status, error } = spawnSync(process.execPath, command, {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, ...extra },
  });
  if (error) throw error;
  return status ?? 1;
}
