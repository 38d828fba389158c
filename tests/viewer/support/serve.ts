import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const main = fileURLToPath(new URL('../../../apps/cli/dist/main.js', import.meta.url));

/** The real server in a process of its own, so that it can be killed. */
export interface Served {
  readonly url: string;
  /** What it said on its console since it was started first. */
  readonly said: () => string;
  /** Ends it as a power cut would. */
  kill(): Promise<void>;
  /** Starts it again at the same address with the same folder. */
  again(): Promise<void>;
  /** Ends it and removes its folder. */
  close(): Promise<void>;
}

function started(
  folder: string,
  port: number,
  more: readonly string[],
): Promise<{ process: ChildProcess; url: string; said: () => string }> {
  const args = ['serve', '--port', String(port), '--threads', '1', '--data', folder, ...more];
  const child = spawn(process.execPath, [main, ...args], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  return new Promise((resolve, reject) => {
    let said = '';
    const listen = (chunk: Buffer): void => {
      said += chunk.toString('utf8');
      const url = /Veligrid is at (http\S+?)\/?\s/.exec(said)?.[1];
      if (url !== undefined) resolve({ process: child, url, said: () => said });
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    child.once('exit', (code) => {
      reject(new Error(`The server ended with ${String(code)}: ${said}`));
    });
  });
}

const ended = (child: ChildProcess): Promise<void> =>
  child.exitCode !== null || child.signalCode !== null
    ? Promise.resolve()
    : new Promise((resolve) =>
        child.once('exit', () => {
          resolve();
        }),
      );

/**
 * Serves a hatchery of its own.
 *
 * @param fill puts into its folder what is to be there from the start; default nothing
 * @param more arguments of `veligrid serve`; default none
 */
export async function serve(fill?: (folder: string) => Promise<void>, more: readonly string[] = []): Promise<Served> {
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-served-'));
  await fill?.(folder);
  const first = await started(folder, 0, more);
  const { url, said } = first;
  let child = first.process;
  const stop = async (signal: NodeJS.Signals): Promise<void> => {
    child.kill(signal);
    await ended(child);
  };
  return {
    url,
    said,
    kill: () => stop('SIGKILL'),
    async again() {
      ({ process: child } = await started(folder, Number(new URL(url).port), more));
    },
    async close() {
      await stop('SIGTERM');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
