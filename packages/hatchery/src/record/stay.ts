import type { Limits } from '@veligrid/estimation';
import { negated, sumOf, type Term } from './number-sum.js';
import type { TankCount } from './season-events.js';

/** Lines of the ledger on the side of what came in. */
export const INS = ['stocked', 'movedIn'] as const;

/** Lines on the side of where they went, besides those alive and what nobody can explain. */
export const OUTS = ['movedOut', 'culled', 'sampled', 'shipped', 'putToSet', 'discarded'] as const;

export type LedgerLine = (typeof INS)[number] | (typeof OUTS)[number];

/** One entry of a ledger. */
export interface LedgerEntry {
  readonly line: LedgerLine;
  readonly at: string;
  readonly terms: readonly Term[];
  /** Move that it comes from. */
  readonly moveId: string;
}

/** A count in a stay, with what it says of the time since the count before or since the beginning. */
export interface CountedDay {
  readonly count: TankCount;
  /** Animals that ought to be there if none had died. */
  readonly expected: Limits;
  /** Expected less alive. */
  readonly unexplained: Limits;
  /** How many entries of the stay were made before it. */
  readonly entriesBefore: number;
}

/** Animals of one batch in one tank, from when they came until they left or were given to another batch. */
export interface Stay {
  readonly tankId: string;
  readonly batchId: string;
  readonly beganAt: string;
  /** Null while it lasts. */
  readonly endedAt: string | null;
  readonly entries: readonly LedgerEntry[];
  readonly counts: readonly CountedDay[];
  /** How many of the entries were made up to the last count; 0 before the first. */
  readonly countedEntries: number;
  /** Entries after the last count, and the count itself: what is in the tank now. */
  readonly present: readonly Term[];
  /** Share of each batch by the name it was stocked under, adding up to 1. */
  readonly shares: ReadonlyMap<string, number>;
}

const signOf = (line: LedgerLine): 1 | -1 => ((INS as readonly string[]).includes(line) ? 1 : -1);

/** A stay that has just begun. */
export const beginStay = (tankId: string, batchId: string, beganAt: string): Stay => ({
  tankId,
  batchId,
  beganAt,
  endedAt: null,
  entries: [],
  counts: [],
  countedEntries: 0,
  present: [],
  shares: new Map(),
});

/** What is in the tank now if none died since the last count; never below 0. */
export function presentIn({ present }: Pick<Stay, 'present'>): Limits {
  const { estimate, low, high } = sumOf(present);
  return { estimate: Math.max(0, estimate), low: Math.max(0, low), high: Math.max(0, high) };
}

/** Shares after animals with shares of their own came in, by numbers. */
function mixed(stay: Stay, terms: readonly Term[], incoming: ReadonlyMap<string, number>): Map<string, number> {
  const there = stay.shares.size === 0 ? 0 : presentIn(stay).estimate;
  const came = Math.max(0, sumOf(terms).estimate);
  const total = there + came;
  // nothing there and nothing came: who comes first stays
  const part = total === 0 ? (stay.shares.size === 0 ? 1 : 0) : came / total;
  const shares = new Map<string, number>();
  for (const [batch, share] of stay.shares) shares.set(batch, share * (1 - part));
  for (const [batch, share] of incoming) shares.set(batch, (shares.get(batch) ?? 0) + share * part);
  return shares;
}

/** A stay with one more entry; what comes in brings its shares. */
export function withEntry(stay: Stay, entry: LedgerEntry, incoming?: ReadonlyMap<string, number>): Stay {
  const terms = signOf(entry.line) === 1 ? entry.terms : negated(entry.terms);
  return {
    ...stay,
    shares: incoming === undefined ? stay.shares : mixed(stay, entry.terms, incoming),
    entries: [...stay.entries, entry],
    present: [...stay.present, ...terms],
  };
}

/** A stay with one more count. */
export function withCount(stay: Stay, count: TankCount): Stay {
  const alive: Term = { sign: 1, number: count.alive, basis: count.id };
  const unexplained = sumOf([...stay.present, ...negated([alive])]);
  const day = { count, expected: sumOf(stay.present), unexplained, entriesBefore: stay.entries.length };
  return { ...stay, counts: [...stay.counts, day], countedEntries: stay.entries.length, present: [alive] };
}

/** A stay that is over: nothing is left. */
export const ended = (stay: Stay, at: string): Stay => ({ ...stay, endedAt: at, present: [] });
