import type { Limits } from '@veligrid/estimation';
import { negated, sumOf, type Term } from './number-sum.js';
import { INS, OUTS, type LedgerEntry, type LedgerLine, type Stay } from './stay.js';

/** What the numbers that nobody can explain say. */
export type Verdict =
  /** Not counted yet, so nothing can be said. */
  | 'not-counted'
  | 'no-measurable-loss'
  | 'loss'
  /** More are alive than came in: a count, a volume or a move is wrong. */
  | 'more-than-came-in';

/**
 * Ledger of animals up to the last count of each tank: stocked + moved in = moved out + alive + culled + sampled + shipped +
 * put to set + discarded + unexplained. Dead ones that were seen are no line of it.
 */
export interface Balance {
  readonly lines: Readonly<Record<LedgerLine, Limits>>;
  /** At the last count of each tank; null when none was counted and none was emptied. */
  readonly alive: Limits | null;
  /** Null like `alive`. */
  readonly unexplained: Limits | null;
  readonly verdict: Verdict;
  /** What is there now if none died since the last counts. */
  readonly present: Limits;
  /** Entries after the last count of their tank: they are in `present` only. */
  readonly since: number;
}

/** Rounding of sums is no loss. */
const ROUNDING = 1e-9;

/** How a number that nobody can explain reads; `of` is what came in. */
export function verdictOf(unexplained: Limits | null, of = 0): Verdict {
  if (unexplained === null) return 'not-counted';
  if (unexplained.low > ROUNDING * of) return 'loss';
  return unexplained.high < -ROUNDING * of ? 'more-than-came-in' : 'no-measurable-loss';
}

/** Entries of a stay up to its end, or its last count; those since; null without either. */
function closed(stay: Stay): { readonly entries: readonly LedgerEntry[]; readonly alive: Term[] } | null {
  if (stay.endedAt !== null) return { entries: stay.entries, alive: [] };
  const last = stay.counts.at(-1);
  if (last === undefined) return null;
  const alive: Term = { sign: 1, number: last.count.alive, basis: last.count.id };
  return { entries: stay.entries.slice(0, stay.countedEntries), alive: [alive] };
}

/** Entries without those that took animals from one of these tanks to another: both sides share their terms. */
function withoutInner(entries: readonly LedgerEntry[]): LedgerEntry[] {
  const of = (line: LedgerLine): Set<readonly Term[]> =>
    new Set(entries.filter((entry) => entry.line === line).map(({ terms }) => terms));
  const [came, went] = [of('movedIn'), of('movedOut')];
  return entries.filter(
    ({ line, terms }) => !(line === 'movedIn' ? went.has(terms) : line === 'movedOut' && came.has(terms)),
  );
}

/** Entries that the lines of a balance are added up from. */
export const balancedEntries = (stays: readonly Stay[]): LedgerEntry[] =>
  withoutInner(stays.flatMap((stay) => [...(closed(stay)?.entries ?? [])]));

/** Balance of one stay, or of several added up: all of a batch, or all of a season. */
export function balanceOf(stays: readonly Stay[]): Balance {
  const parts = stays.flatMap((stay) => closed(stay) ?? []);
  const entries = balancedEntries(stays);
  const termsOf = (chosen: readonly LedgerLine[]): Term[] =>
    entries.filter(({ line }) => chosen.includes(line)).flatMap(({ terms }) => [...terms]);
  const lines = Object.fromEntries([...INS, ...OUTS].map((line) => [line, sumOf(termsOf([line]))])) as Balance['lines'];
  const alive = parts.flatMap((part) => part.alive);
  const left = sumOf([...termsOf(INS), ...negated([...termsOf(OUTS), ...alive])]);
  const unexplained = parts.length === 0 ? null : left;
  const all = stays.reduce((sum, stay) => sum + stay.entries.length, 0);
  return {
    lines,
    alive: parts.length === 0 ? null : sumOf(alive),
    unexplained,
    verdict: verdictOf(unexplained, lines.stocked.estimate + lines.movedIn.estimate),
    present: sumOf(stays.flatMap(({ present }) => [...present])),
    since: all - parts.reduce((sum, part) => sum + part.entries.length, 0),
  };
}
