import { setTimeout } from 'node:timers/promises';
import { VeligridError } from '@veligrid/model';

/** Waits between tries, ms: doubled from the first to the longest. */
const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 30_000;

/** How something is tried. */
export interface Insisting {
  /** Tries before the fault is thrown on; 10 take three minutes. */
  readonly most: number;
  /** Ends it. */
  readonly stop: AbortSignal;
  /** Told of each fault but the last. */
  readonly onFault?: ((error: unknown) => void) | undefined;
}

/** Does something again while the store fails: that is a fault of a disk or a network, and passes. Other errors are thrown on. */
export async function insist<T>({ most, stop, onFault }: Insisting, act: () => Promise<T>): Promise<T> {
  for (let tries = 1, wait = FIRST_WAIT_MS; ; tries += 1, wait = Math.min(2 * wait, LONGEST_WAIT_MS)) {
    try {
      return await act();
    } catch (error) {
      const isFaultOfStore = error instanceof VeligridError && error.code === 'store-failed';
      if (!isFaultOfStore || tries === most || stop.aborted) throw error;
      onFault?.(error);
    }
    await setTimeout(wait, undefined, { signal: stop });
  }
}
