import type { CrossFields, OriginFields, SpawnResultFields } from '@veligrid/model';
import type { SeasonLedger } from './season-ledger.js';
import { presentIn, INS, type Stay } from './stay.js';
import { sumOf } from './number-sum.js';

/** What is recorded of where batches come from. */
export interface Parentage {
  readonly origins: readonly OriginFields[];
  readonly crosses: readonly (CrossFields & { readonly id: string })[];
  readonly results: readonly SpawnResultFields[];
}

/** A part of a batch. */
export interface Part {
  readonly id: string;
  /** 0..1. */
  readonly share: number;
}

/** Where a batch comes from, largest shares first. Shares of all of the batch, those without a record included. */
export interface Pedigree {
  /** Batches by the names they were stocked under. */
  readonly batches: readonly Part[];
  readonly crosses: readonly Part[];
  readonly dams: readonly Part[];
  readonly sires: readonly Part[];
  /** Share of the batch for which no cross is recorded. */
  readonly unknown: number;
  /** Parents whose own share of a cross is not known, so that they were taken as equal. */
  readonly takenAsEqual: readonly string[];
}

const came = ({ entries }: Stay): number =>
  sumOf(entries.filter(({ line }) => (INS as readonly string[]).includes(line)).flatMap(({ terms }) => [...terms]))
    .estimate;

/**
 * Batches that a batch is made of, by numbers: of what is in tanks now, else of all that ever was.
 *
 * @returns shares that add up to 1; a batch that was never in a tank is its own
 */
export function batchesIn({ stays }: Pick<SeasonLedger, 'stays'>, batchId: string): Map<string, number> {
  const own = stays.filter((stay) => stay.batchId === batchId);
  const now = own.map((stay) => presentIn(stay).estimate);
  const weights = now.some((weight) => weight > 0) ? now : own.map(came);
  const total = weights.reduce((a, b) => a + b, 0);
  if (total <= 0) return new Map([[batchId, 1]]);
  const shares = new Map<string, number>();
  for (const [i, stay] of own.entries()) {
    for (const [batch, share] of stay.shares) {
      const part = (share * (weights[i] ?? 0)) / total;
      if (part > 0) shares.set(batch, (shares.get(batch) ?? 0) + part);
    }
  }
  return shares;
}

/** Shares of a cross by parent: by what each gave where that is known of all, else equal. */
function parentShares(
  parents: readonly string[],
  { spawnId }: CrossFields,
  results: readonly SpawnResultFields[],
): { readonly shares: readonly Part[]; readonly equal: boolean } {
  const gave = parents.map(
    (id) => results.find((one) => one.spawnId === spawnId && one.animalId === id)?.gametes ?? null,
  );
  const numbers = gave.filter((number) => number !== null);
  const total = numbers.reduce((sum, number) => sum + number, 0);
  if (numbers.length === parents.length && total > 0) {
    return { shares: parents.map((id, i) => ({ id, share: (numbers[i] ?? 0) / total })), equal: false };
  }
  return { shares: parents.map((id) => ({ id, share: 1 / parents.length })), equal: parents.length > 1 };
}

const ranked = (shares: ReadonlyMap<string, number>): Part[] =>
  [...shares].map(([id, share]) => ({ id, share })).toSorted((a, b) => b.share - a.share || (a.id < b.id ? -1 : 1));

/** Adds up shares. */
class Shares {
  readonly crosses = new Map<string, number>();
  readonly dams = new Map<string, number>();
  readonly sires = new Map<string, number>();
  readonly equal = new Set<string>();

  static #add(to: Map<string, number>, id: string, share: number): void {
    to.set(id, (to.get(id) ?? 0) + share);
  }

  cross(cross: CrossFields & { readonly id: string }, share: number, results: readonly SpawnResultFields[]): void {
    Shares.#add(this.crosses, cross.id, share);
    const dams = parentShares(cross.dams, cross, results);
    // sperm that was pooled competes: what each male gave says little of what it sired
    const sires = parentShares(cross.sires, cross, cross.pooledSperm ? [] : results);
    for (const one of dams.shares) Shares.#add(this.dams, one.id, share * one.share);
    for (const one of sires.shares) Shares.#add(this.sires, one.id, share * one.share);
    for (const { id } of [...(dams.equal ? dams.shares : []), ...(sires.equal ? sires.shares : [])]) this.equal.add(id);
  }
}

/**
 * From a batch back to broodstock: crosses by eggs, parents by what they gave, batches by numbers. All are taken to have
 * survived alike.
 */
export function pedigreeOf(
  batchId: string,
  ledger: Pick<SeasonLedger, 'stays'>,
  { origins, crosses, results }: Parentage,
): Pedigree {
  const batches = batchesIn(ledger, batchId);
  const shares = new Shares();
  let unknown = 0;
  for (const [batch, share] of batches) {
    const own = origins.filter((one) => one.batchId === batch);
    const eggs = own.reduce((sum, one) => sum + one.eggs, 0);
    if (own.length === 0) unknown += share;
    for (const origin of own) {
      const cross = crosses.find(({ id }) => id === origin.crossId);
      const part = (share * origin.eggs) / eggs;
      if (cross === undefined) unknown += part;
      else shares.cross(cross, part, results);
    }
  }
  return {
    batches: ranked(batches),
    crosses: ranked(shares.crosses),
    dams: ranked(shares.dams),
    sires: ranked(shares.sires),
    unknown,
    takenAsEqual: [...shares.equal].toSorted(),
  };
}
