import { seededRandom } from '../support/seeded-random.ts';

/** Choices that are the same for the same seed. */
export interface Choose {
  /** 0 up to, not including, 1. */
  readonly share: () => number;
  /** A whole number from 0 up to, not including, `below`. */
  readonly below: (below: number) => number;
  readonly of: <T>(choices: readonly T[]) => T;
  /** True in this part of the cases. */
  readonly chance: (part: number) => boolean;
}

/** The choices of one seed. */
export function chooseBy(seed: number): Choose {
  const share = seededRandom(seed);
  const below = (most: number): number => Math.floor(share() * most);
  return { share, below, of: (choices) => choices[below(choices.length)], chance: (part) => share() < part };
}

/** How many cases a test runs: the slice of `npm test`, or what `npm run long:fuzz` sets. */
export const casesOf = (variable: string, slice: number): number => Number(process.env[variable] ?? slice);
