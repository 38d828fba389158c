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

/** Correlation of the looks of two finds that hardly any two different ones have, unless all look the same. */
const VERY_ALIKE = 0.9;

const sizesAgree = (a: number, b: number): boolean => Math.abs(Math.log(a / b)) < SIZE_LIMIT;

/** Tells whether a mark of the first photo and one of the second, by their places, may be one thing. */
export type AreAlike = (one: number, two: number) => boolean;

/** Compares marks when asked for, by size and look. */
export function alikeWhenAsked({ first, second, looks, umPerPx }: MarksToCompare): AreAlike {
  const levels = first.map(({ size }) => levelOf(size * umPerPx));
  return (one, two) => {
    const [from, to] = [first[one], second[two]];
    // a speck has no size of its own
    if (from.index < 0 !== to.index < 0 || !sizesAgree(from.size, to.size)) return false;
    return alikeness(looks[0].at(one, levels[one]), looks[1].at(two, levels[one])) >= LEAST_ALIKE;
  };
}

/** Marks of the second photo, by their places in its list, that each mark of the first may be by its size and its look. */
export function alikeMarks(marks: MarksToCompare): readonly (readonly number[])[] {
  const areAlike = alikeWhenAsked(marks);
  return marks.first.map((_, one) => {
    const partners: number[] = [];
    for (let two = 0; two < marks.second.length; two++) if (areAlike(one, two)) partners.push(two);
    return partners;
  });
}

/** The same as a table. */
export function alikeByTable(alike: readonly (readonly number[])[], length: number): AreAlike {
  const table = new Uint8Array(alike.length * length);
  for (const [one, partners] of alike.entries()) for (const two of partners) table[one * length + two] = 1;
  return (one, two) => table[one * length + two] === 1;
}

/** Of finds that lie on each other, those that look very alike. */
export const veryAlike = (
  { looks, umPerPx }: MarksToCompare,
  matches: readonly { readonly from: Mark; readonly to: Mark }[],
): number =>
  matches.filter(({ from, to }) => {
    const level = levelOf(from.size * umPerPx);
    return alikeness(looks[0].at(from.place, level), looks[1].at(to.place, level)) >= VERY_ALIKE;
  }).length;

/** Chance that two different finds of one size look very alike, as the photos themselves show it; never 0. */
export function chanceVeryAlike(marks: MarksToCompare): number {
  let [pairs, alike] = [0, 0];
  for (const from of marks.first) {
    if (from.index < 0) continue;
    for (const to of marks.second) {
      if (to.index < 0 || !sizesAgree(from.size, to.size)) continue;
      pairs++;
      alike += veryAlike(marks, [{ from, to }]);
    }
  }
  return (alike + 1) / (pairs + 1);
}
