import { spawn, type ChildProcess } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** The built command line. */
export const main: string = fileURLToPath(new URL('../../apps/cli/dist/main.js', import.meta.url));

/** `veligrid serve` as a program of its own. */
export interface Program {
  readonly child: ChildProcess;
  /** Address that it printed. */
  readonly url: string;
  readonly output: () => string;
  /** Ends it and waits; answers the exit code, null when a signal ended it. */
  readonly end: (signal: NodeJS.Signals) => Promise<number | null>;
}

/** Starts `veligrid serve` on a free port; rejects with its exit code and output when it ends before it listens. */
export const serve = (...args: readonly string[]): Promise<Program> => serveIn({}, ...args);

/** The same with variables beside those of this process. */
export function serveIn(environment: Readonly<Record<string, string>>, ...args: readonly string[]): Promise<Program> {
  const env = { ...process.env, ...environment };
  const whole = [main, 'serve', '--port', '0', ...args];
  const child = spawn(process.execPath, whole, { env, stdio: ['ignore', 'pipe', 'pipe'] });
  let output = '';
  const ended = new Promise<number | null>((resolve) => child.once('exit', resolve));
  return new Promise((resolve, reject) => {
    const listen = (chunk: Buffer): void => {
      output += chunk.toString();
      const url = /Veligrid is at (\S+)\//.exec(output)?.[1];
      if (url === undefined) return;
      const end = (signal: NodeJS.Signals): Promise<number | null> => {
        child.kill(signal);
        return ended;
      };
      resolve({ child, url, output: () => output, end });
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    void ended.then((code) => {
      reject(new Error(`exit ${String(code)}: ${output}`));
    });
  });
}
