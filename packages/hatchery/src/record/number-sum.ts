import type { Limits } from '@veligrid/estimation';

/** A number of animals as part of a sum. */
export interface Term {
  readonly sign: 1 | -1;
  /** The number with the limits between which it lies, 95 %. */
  readonly number: Limits;
  /** What it rests on. Terms with one basis err together: one count that stands behind several of them. */
  readonly basis: string;
}

/** The same terms taken off instead of added, or the other way round. */
export const negated = (terms: readonly Term[]): Term[] =>
  terms.map((term) => ({ ...term, sign: term.sign === 1 ? -1 : 1 }));

/** How far a sum can lie above and below its estimate by the error of one basis. */
function swing(terms: readonly Term[]): { readonly up: number; readonly down: number } {
  let [up, down] = [0, 0];
  for (const { sign, number } of terms) {
    up += sign * (number.high - number.estimate);
    down += sign * (number.estimate - number.low);
  }
  return { up: Math.max(up, -down), down: Math.max(down, -up) };
}

/**
 * Adds numbers up with limits: distances to the limits are added within one basis and in squares across bases (method of
 * variance estimates recovery, Zou and Donner 2008, Stat. Med. 27:1693, from memory). The estimate is the plain sum.
 */
export function sumOf(terms: readonly Term[]): Limits {
  const byBasis = new Map<string, Term[]>();
  for (const term of terms) byBasis.set(term.basis, [...(byBasis.get(term.basis) ?? []), term]);
  const estimate = terms.reduce((sum, { sign, number }) => sum + sign * number.estimate, 0);
  const swings = [...byBasis.values()].map(swing);
  return {
    estimate,
    low: estimate - Math.hypot(...swings.map(({ down }) => down)),
    high: estimate + Math.hypot(...swings.map(({ up }) => up)),
  };
}
