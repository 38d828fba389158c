import { alikeness, levelOf, type Looks } from './looks.js';
import type { Mark } from './marks.js';

/** A possible turn of one photo against another: two marks of the first and those of the second that they would be. */
export interface Guess {
  readonly from: readonly [Mark, Mark];
  readonly to: readonly [Mark, Mark];
}

/** All guesses of two photos. */
export interface Guesses {
  /** Likeliest first. */
  readonly best: readonly Guess[];
  /** All that were looked at: what chance had to try with. */
  readonly tried: number;
}

/** The marks of two photos and how they look. */
export interface MarksToPair {
  readonly first: readonly Mark[];
  /** In the scale of the first photo. */
  readonly second: readonly Mark[];
  readonly looks: readonly [Looks, Looks];
  /** Micrometres per pixel of the first photo. */
  readonly umPerPx: number;
  /** Least distance of the two marks of a guess, pixels. */
  readonly leastDistance: number;
}

/** Most turn of one photo against another, radians. */
const MOST_TURN = (15 * Math.PI) / 180;
/** Distances of the same two marks agree to this share. */
const DISTANCE_LIMIT = 0.02;
/** Natural logarithm of the ratio of sizes of the same mark, at most. */
export const SIZE_LIMIT = 0.16;
/** Least correlation of the looks of the same mark. */
const LEAST_ALIKE = 0.6;
/** Marks of the second photo that one of the first may be, most alike first. */
const PARTNERS = 4;
/** Guesses that are looked at closely. */
const KEPT = 120;

/** A mark of the first photo and one of the second that looks like it. */
interface Pairing {
  readonly from: Mark;
  readonly to: Mark;
  readonly alike: number;
}

const sizesAgree = (a: number, b: number): boolean => Math.abs(Math.log(a / b)) < SIZE_LIMIT;

function pairings({ first, second, looks, umPerPx }: MarksToPair): Pairing[] {
  return first.flatMap((from, one) => {
    const level = levelOf(from.size * umPerPx);
    const look = looks[0].at(one, level);
    const partners = second.flatMap((to, two) =>
      sizesAgree(from.size, to.size) ? [{ from, to, alike: alikeness(look, looks[1].at(two, level)) }] : [],
    );
    partners.sort((a, b) => b.alike - a.alike);
    return partners.slice(0, PARTNERS).filter(({ alike }) => alike >= LEAST_ALIKE);
  });
}

/** Whether two pairings can be of one turn and shift. */
function fitTogether(a: Pairing, b: Pairing, leastDistance: number): boolean {
  const [dx, dy] = [b.from.x - a.from.x, b.from.y - a.from.y];
  const [u, v] = [b.to.x - a.to.x, b.to.y - a.to.y];
  const apart = Math.hypot(dx, dy);
  if (apart < leastDistance || Math.abs(Math.hypot(u, v) - apart) > DISTANCE_LIMIT * apart + leastDistance / 20)
    return false;
  return Math.abs(Math.atan2(dx * v - dy * u, dx * u + dy * v)) <= MOST_TURN;
}

/**
 * Guesses how two photos lie on each other: any two marks that look like two of the other photo and lie like them.
 *
 * @returns the guesses whose marks look most alike
 */
export function guessTurns(marks: MarksToPair): Guesses {
  const all = pairings(marks);
  const guesses: (Guess & { readonly alike: number })[] = [];
  for (const [k, a] of all.entries()) {
    for (let other = 0; other < k; other++) {
      const b = all[other];
      if (a.from === b.from || a.to === b.to || !fitTogether(a, b, marks.leastDistance)) continue;
      guesses.push({ from: [a.from, b.from], to: [a.to, b.to], alike: Math.min(a.alike, b.alike) });
    }
  }
  guesses.sort((a, b) => b.alike - a.alike);
  return { best: guesses.slice(0, KEPT), tried: guesses.length };
}
