import { constants, setPriority } from 'node:os';

/**
 * Lets everything else on this machine go before this thread, so that who looks at photos never waits for those being
 * counted. Only Linux knows priorities of single threads; elsewhere the whole program would become slow, so nothing is done.
 */
export function lowerPriority(): void {
  if (process.platform !== 'linux') return;
  try {
    setPriority(0, constants.priority.PRIORITY_BELOW_NORMAL);
  } catch {
    // a machine that forbids it counts as fast as anything else
  }
}
