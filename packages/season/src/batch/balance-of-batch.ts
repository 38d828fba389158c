import type { Limits } from '@veligrid/estimation';
import { balancedEntries, balanceOf, INS, OUTS, type LedgerLine, type Stay, type Verdict } from '@veligrid/hatchery';
import type { Season } from '../history/read-season.js';
import type { Named } from '../history/house-names.js';
import { namedBy } from './counted-samples.js';

/** Ledger of a batch up to the last counts of its tanks, each number with what it is added up from. */
export interface BalanceSheet {
  readonly lines: readonly { readonly line: LedgerLine; readonly animals: Limits; readonly moves: readonly string[] }[];
  /** Null while nothing was counted and no tank was emptied. */
  readonly alive: Limits | null;
  /** Last counts that `alive` is added up from. */
  readonly counts: readonly { readonly sample: Named; readonly tank: Named; readonly alive: Limits }[];
  readonly unexplained: Limits | null;
  readonly verdict: Verdict;
  /** There now, if none died since. */
  readonly present: Limits;
  /** Entries after the last counts: they are in `present` only. */
  readonly since: number;
}

/** Lines that are told also when there is nothing in them. */
const ALWAYS: readonly LedgerLine[] = ['stocked'];

/** The balance sheet of some stays. */
export function balanceSheet(season: Season, stays: readonly Stay[]): BalanceSheet {
  const { lines, alive, unexplained, verdict, present, since } = balanceOf(stays);
  const entries = balancedEntries(stays);
  const lasts = stays.flatMap((stay) => {
    const last = stay.endedAt === null ? stay.counts.at(-1) : undefined;
    if (last === undefined) return [];
    return [{ sample: namedBy(season, last.count.id), tank: namedBy(season, stay.tankId), alive: last.count.alive }];
  });
  return {
    lines: [...INS, ...OUTS].flatMap((line) => {
      const moves = [...new Set(entries.filter((one) => one.line === line).map(({ moveId }) => moveId))];
      return moves.length > 0 || ALWAYS.includes(line) ? [{ line, animals: lines[line], moves }] : [];
    }),
    alive,
    counts: lasts,
    unexplained,
    verdict,
    present,
    since,
  };
}
