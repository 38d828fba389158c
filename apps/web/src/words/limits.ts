import { say } from './say.js';

/** A figure with the limits between which it lies. */
export interface ShownLimits {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/** A figure with its limits, as people read it; the figure alone where it is exact. */
export const limitsWords = ({ estimate, low, high }: ShownLimits, write: (value: number) => string): string =>
  low === estimate && high === estimate
    ? write(estimate)
    : say('result.limits', { estimate: write(estimate), low: write(low), high: write(high) });
