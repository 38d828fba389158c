import { VeligridError } from '@veligrid/model';
import { checkDifferent } from './checks.js';

/** One animal with its parents as far as they are known. */
export interface PedigreeAnimal {
  readonly animal: string;
  readonly sire?: string;
  readonly dam?: string;
}

/** Kinship of any two animals, and inbreeding of one. */
export interface Kinships {
  /** Chance that an allele drawn from each is the same by descent (Malecot 1948). */
  readonly of: (a: string, b: string) => number;
  /** Inbreeding coefficient: kinship of the parents. */
  readonly inbreeding: (animal: string) => number;
}

/** Parents before offspring; animals that only stand as parents are founders. */
function inOrder(pedigree: readonly PedigreeAnimal[]): PedigreeAnimal[] {
  const known = new Map(pedigree.map((one) => [one.animal, one]));
  const done = new Set<string>();
  const ordered: PedigreeAnimal[] = [];
  const open: { readonly animal: string; readonly back: boolean }[] = pedigree
    .map(({ animal }) => ({ animal, back: false }))
    .reverse();
  const path = new Set<string>();
  for (let top = open.pop(); top !== undefined; top = open.pop()) {
    const { animal, back } = top;
    const one = known.get(animal) ?? { animal };
    if (back) {
      path.delete(animal);
      if (!done.has(animal)) ordered.push(one);
      done.add(animal);
    } else if (path.has(animal)) {
      throw new VeligridError('bad-argument', `The pedigree makes ${animal} its own ancestor. Correct its parents.`);
    } else if (!done.has(animal)) {
      path.add(animal);
      open.push({ animal, back: true });
      for (const parent of [one.sire, one.dam]) if (parent !== undefined) open.push({ animal: parent, back: false });
    }
  }
  return ordered;
}

/**
 * Kinship by the tabular rule: of an animal with an older one the mean of that of its parents with it; with itself
 * (1 + F)/2. Unknown parents and founders are taken as unrelated and not inbred, so that real kinship can only be higher.
 * Falconer & Mackay 1996, Introduction to Quantitative Genetics, chapter 5: full sibs 1/4, half sibs 1/8.
 *
 * @throws VeligridError `bad-argument` for an animal twice, or one that is its own ancestor
 */
export function kinships(pedigree: readonly PedigreeAnimal[]): Kinships {
  checkDifferent(
    'the pedigree',
    pedigree.map(({ animal }) => animal),
  );
  const ordered = inOrder(pedigree);
  const place = new Map(ordered.map(({ animal }, i) => [animal, i]));
  const table: number[][] = [];
  const between = (a: number | undefined, b: number | undefined): number =>
    a === undefined || b === undefined ? 0 : (table[Math.max(a, b)]?.[Math.min(a, b)] ?? 0);
  const placeOf = (parent: string | undefined): number | undefined =>
    parent === undefined ? undefined : place.get(parent);
  for (const [i, { sire, dam }] of ordered.entries()) {
    const [s, d] = [placeOf(sire), placeOf(dam)];
    const row = ordered.slice(0, i).map((_, j) => (between(s, j) + between(d, j)) / 2);
    row.push((1 + between(s, d)) / 2);
    table.push(row);
  }
  return {
    of: (a, b) => (a === b && !place.has(a) ? 0.5 : between(place.get(a), place.get(b))),
    inbreeding: (animal) => {
      const i = place.get(animal);
      return i === undefined ? 0 : 2 * between(i, i) - 1;
    },
  };
}
