import type { Job } from '@veligrid/storage';

/** How a program that runs jobs is called: by its machine and its number there. */
export const workerName = (host: string, pid: number): string => `${host}/${pid}`;

/** Whether a program of this number runs on this machine. */
function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // it is there, but somebody else's
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/**
 * Workers of this machine that hold jobs though they are no more: after a crash nobody has to wait for their leases.
 *
 * @param jobs those that run
 */
export function heldByTheDead(
  jobs: readonly Pick<Job, 'worker'>[],
  host: string,
  alive: (pid: number) => boolean = isAlive,
): string[] {
  const names = new Set(jobs.flatMap(({ worker }) => (worker === null ? [] : [worker])));
  return [...names].filter((name) => {
    const cut = name.lastIndexOf('/');
    return name.slice(0, cut) === host && !alive(Number(name.slice(cut + 1)));
  });
}
