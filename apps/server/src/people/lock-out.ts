/** Keeps guessing of secrets slow. Kept in memory: a restart forgets it, and only who runs the server can restart it. */
export interface LockOut {
  /** Seconds that a key has to wait; 0 when it may try. */
  readonly wait: (key: string) => number;
  readonly failed: (key: string) => void;
  readonly passed: (key: string) => void;
}

/** Tries that cost nothing. */
const FREE_TRIES = 5;
const FIRST_WAIT_S = 30;
const LONGEST_WAIT_S = 900;
/** More keys than this are forgotten from the oldest on, so that made-up names fill no memory. */
const MOST_KEYS = 10_000;

/**
 * After five wrong tries in a row a key waits half a minute, then twice as long after each further one, a quarter of an
 * hour at most.
 */
export function createLockOut(now: () => Date): LockOut {
  const tries = new Map<string, { readonly wrong: number; readonly until: number }>();
  return {
    wait: (key) => Math.max(0, Math.ceil(((tries.get(key)?.until ?? 0) - now().getTime()) / 1000)),
    failed: (key) => {
      const wrong = (tries.get(key)?.wrong ?? 0) + 1;
      const over = wrong - FREE_TRIES;
      const seconds = over < 0 ? 0 : Math.min(LONGEST_WAIT_S, FIRST_WAIT_S * 2 ** over);
      tries.delete(key);
      tries.set(key, { wrong, until: now().getTime() + 1000 * seconds });
      if (tries.size > MOST_KEYS) for (const oldest of tries.keys()) return void tries.delete(oldest);
    },
    passed: (key) => {
      tries.delete(key);
    },
  };
}
