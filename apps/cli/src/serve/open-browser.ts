import { spawn } from 'node:child_process';

/** The command that opens an address on each system, and what stands before the address. */
const OPENERS: Readonly<Partial<Record<NodeJS.Platform, readonly [string, ...string[]]>>> = {
  darwin: ['open'],
  win32: ['cmd', '/c', 'start', ''],
};

/** Opens an address in the browser, where there is one; else nothing happens, as the address is printed anyway. */
export function openBrowser(url: string): void {
  const [command, ...before] = OPENERS[process.platform] ?? ['xdg-open'];
  const child = spawn(command, [...before, url], { stdio: 'ignore', detached: true });
  child.on('error', () => undefined);
  child.unref();
}
