import { alikeness, levelOf, type Looks } from './looks.js';
import type { Mark } from './marks.js';

/** The marks of two photos and how they look. */
export interface MarksToCompare {
  readonly first: readonly Mark[];
  /** In the scale of the first photo. */
  readonly second: readonly Mark[];
  readonly looks: readonly [Looks, Looks];
  /** Micrometres per pixel of the first photo. */
  readonly umPerPx: number;
}

/** Natural logarithm of the ratio of sizes of the same mark, at most. */
const SIZE_LIMIT = 0.16;
/** Least correlation of the looks of the same mark. */
const LEAST_ALIKE = 0.6;

const sizesAgree = (a: number, b: number): boolean => Math.abs(Math.log(a / b)) < SIZE_LIMIT;

/** Marks of the second photo, by their places in its list, that each mark of the first may be by its size and its look. */
export function alikeMarks({ first, second, looks, umPerPx }: MarksToCompare): readonly (readonly number[])[] {
  return first.map((from, one) => {
    const level = levelOf(from.size * umPerPx);
    const look = looks[0].at(one, level);
    const isSpeck = from.index < 0;
    const partners: number[] = [];
    for (const [two, to] of second.entries()) {
      // a speck has no size of its own
      if (isSpeck !== to.index < 0 || !sizesAgree(from.size, to.size)) continue;
      if (alikeness(look, looks[1].at(two, level)) >= LEAST_ALIKE) partners.push(two);
    }
    return partners;
  });
}
