import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readdirSync, readFileSync } from 'node:fs';

const STRACE = '/usr/bin/strace';

/** Whether disks can't be made slow here. */
export const withoutSlowDisks: boolean = !existsSync(STRACE);

/** A process and all that it began. */
function familyOf(pid: number): number[] {
  try {
    const threads = readdirSync(`/proc/${String(pid)}/task`);
    const children = threads.flatMap((thread) =>
      readFileSync(`/proc/${String(pid)}/task/${thread}/children`, 'utf8')
        .split(' ')
        .filter(Boolean)
        .map(Number),
    );
    return [pid, ...children.flatMap(familyOf)];
  } catch {
    // it has just ended
    return [];
  }
}

/**
 * Makes every wait for the disk longer (fsync and fdatasync, by which a program learns that what it wrote is safe), for
 * programs that run and those they begin, until it is undone.
 */
export async function slowDisk(pids: readonly number[], delayMs: number): Promise<{ undo(): Promise<void> }> {
  const held = pids.flatMap(familyOf).flatMap((pid) => ['-p', String(pid)]);
  const delay = `inject=fsync,fdatasync:delay_exit=${String(Math.round(1000 * delayMs))}`;
  const args = ['-f', '-q', '-o', '/dev/null', '-e', 'trace=fsync,fdatasync', '-e', delay, ...held];
  const child = spawn(STRACE, args, { stdio: 'ignore' });
  const ended = once(child, 'exit');
  return {
    async undo() {
      // it lets go of them, and they run on
      child.kill('SIGINT');
      await ended;
    },
  };
}
