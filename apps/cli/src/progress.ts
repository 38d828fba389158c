import type { Console } from './console.js';

const BAR = 24;

/** Shows how far a run has come. */
export interface Progress {
  /** One more of the whole is done. */
  readonly step: () => void;
  /** Removes the bar. */
  readonly end: () => void;
}

/** Remaining time in words, from the time the done part took. */
function timeLeft(done: number, whole: number, elapsedMs: number): string {
  if (done === 0) return '';
  const seconds = Math.round(((elapsedMs / done) * (whole - done)) / 1000);
  return seconds < 90 ? `, ${String(seconds)} s left` : `, ${String(Math.round(seconds / 60))} min left`;
}

/**
 * A bar on the terminal, drawn over itself; nothing at all when the output is not a terminal.
 *
 * @param whole number of steps
 * @param now clock in milliseconds
 */
export function progressBar(console: Console, whole: number, now: () => number): Progress {
  const { err, errIsTerminal } = console;
  if (!errIsTerminal) return { step: () => undefined, end: () => undefined };
  const started = now();
  let done = 0;
  const draw = (): void => {
    const full = Math.floor((BAR * done) / whole);
    const left = timeLeft(done, whole, now() - started);
    err(`\r\x1b[K[${'='.repeat(full)}${' '.repeat(BAR - full)}] ${String(done)} of ${String(whole)} photos${left}`);
  };
  draw();
  return {
    step: () => {
      done++;
      draw();
    },
    end: () => {
      err('\r\x1b[K');
    },
  };
}
