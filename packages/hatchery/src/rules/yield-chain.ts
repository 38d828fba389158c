import { ratioLimits, type Limits } from '@veligrid/estimation';
import { checkAmount, checkSome } from './amount.js';

/** One step of a chain from eggs to spat. */
export interface ChainStep {
  readonly name: string;
  readonly number: Limits;
}

/** A step over the one before and over the first. */
export interface ChainShare {
  readonly name: string;
  readonly ofPrevious: Limits;
  readonly ofFirst: Limits;
}

/** Shares along a chain of numbers, each step over the one before and over the first; two steps or more, above 0. */
export function yieldChain(steps: readonly ChainStep[]): ChainShare[] {
  const [first] = steps;
  return steps.slice(1).map(({ name, number }, i) => {
    const before = steps[i] ?? { name, number };
    checkSome(before.name, before.number);
    checkAmount(name, number);
    return {
      name,
      ofPrevious: ratioLimits(number, before.number),
      ofFirst: ratioLimits(number, first?.number ?? before.number),
    };
  });
}
