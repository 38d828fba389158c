import { readdirSync } from 'node:fs';
import { constants, setPriority } from 'node:os';

/**
 * Lets everything else on this machine go before this program, so that who looks at photos never waits for those being
 * counted. Linux knows priorities of threads only, and those that run already keep their own.
 */
export function lowerPriority(): void {
  const threads = process.platform === 'linux' ? readdirSync('/proc/self/task').map(Number) : [0];
  for (const thread of threads) {
    try {
      setPriority(thread, constants.priority.PRIORITY_BELOW_NORMAL);
    } catch {
      // a thread that ended meanwhile; or a machine that forbids it, which counts as fast as anything else
    }
  }
}
