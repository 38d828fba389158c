import { checkAbove0, checkDifferent } from './checks.js';
import { shareOut } from './share-out.js';

/** What one animal gave. */
export interface GameteDonor {
  readonly animal: string;
  readonly ml: number;
  /** Eggs or sperm counted in it; null when nobody counted. */
  readonly number: number | null;
}

/** What to take of one animal. */
export interface EqualPart {
  readonly animal: string;
  /** mL to take, and mL that are left. */
  readonly ml: number;
  readonly leftMl: number;
  /** Eggs or sperm in it; null when it was not counted. */
  readonly number: number | null;
}

/** The same from each. */
export interface EqualGametes {
  /** `number` when all were counted; else the same mL of each, which is equal only if all are as dense. */
  readonly by: 'number' | 'volume';
  /** Animals whose gametes were not counted. */
  readonly notCounted: readonly string[];
  readonly parts: readonly EqualPart[];
  readonly totalMl: number;
  /** Eggs or sperm in all parts; null when shared by volume. */
  readonly total: number | null;
}

function partOf({ animal, ml, number }: GameteDonor, take: number): EqualPart {
  return { animal, ml: take, leftMl: ml - take, number: number === null ? null : (number * take) / ml };
}

/**
 * The same number of eggs, or sperm, from each animal: as many as the one with the fewest gave, mL = number wanted / number x
 * mL given. Where one was not counted, the same mL of each. Equal parts keep the effective number of breeders near their
 * number (Lacy 1989, Zoo Biology 8:111).
 *
 * @param donors one or more
 * @throws VeligridError `bad-argument` for volumes or numbers that are not above 0, or an animal twice
 */
export function equalGametes(donors: readonly GameteDonor[]): EqualGametes {
  checkDifferent(
    'the animals',
    donors.map(({ animal }) => animal),
  );
  for (const { animal, ml, number } of donors) {
    checkAbove0(`mL of ${animal}`, ml);
    if (number !== null) checkAbove0(`the number of ${animal}`, number);
  }
  const notCounted = donors.filter(({ number }) => number === null).map(({ animal }) => animal);
  const by = notCounted.length === 0 ? 'number' : 'volume';
  const size = ({ ml, number }: GameteDonor): number => (by === 'number' ? (number ?? 0) : ml);
  const least = Math.min(...donors.map(size));
  const parts = donors.map((one) => partOf(one, (one.ml * least) / size(one)));
  const total = by === 'number' ? least * donors.length : null;
  return { by, notCounted, parts, totalMl: parts.reduce((sum, { ml }) => sum + ml, 0), total };
}

/** What of a pool each of several gets. */
export interface PoolPart {
  readonly animal: string;
  readonly ml: number;
}

/**
 * Shares a pool of eggs in equal parts, one for the sperm of each male: so no male's sperm can outrun another's. In tenths of
 * a mL, cut down so that the parts are never more than there is.
 */
export function poolParts(poolMl: number, males: readonly string[]): PoolPart[] {
  const parts = shareOut(
    males.map(() => poolMl),
    poolMl,
    'equal-parts',
  );
  return males.map((animal, i) => ({ animal, ml: parts[i] ?? 0 }));
}
