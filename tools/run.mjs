import { spawn, spawnSync } from 'node:child_process';
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

/**
 * Runs a script as `runNode` does, beside others, and collects what it says.
 *
 * @param {readonly string[]} command
 * @returns {Promise<{ status: number, output: string }>} exit code, 1 when a signal ended it; standard output and error
 */
export function collectNode(command) {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, command, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] });
    let output = '';
    for (const stream of [child.stdout, child.stderr]) {
      stream.setEncoding('utf8');
      stream.on('data', (/** @type {string} */ chunk) => {
        output += chunk;
      });
    }
    child.once('error', reject);
    child.once('close', (status) => {
      resolve({ status: status ?? 1, output });
    });
  });
}
