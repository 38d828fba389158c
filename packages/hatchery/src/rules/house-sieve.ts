import { badArgument } from '@veligrid/model';
import { exactly } from '@veligrid/estimation';
import { pointsOf, type Figure, type FigureBook } from '../presets/figure-book.js';
import type { SieveRow } from './sieve-table.js';

/** A row as it is used: opening, length of which half is kept, and from a quarter to three quarters kept. */
export type SieveUse = Pick<SieveRow, 'apertureUm' | 'l50Um' | 'selectionRangeUm'>;

/** The sieve table that a house keeps among its own figures. */
export interface HouseSieve {
  readonly rows: readonly SieveUse[];
  readonly figures: readonly Figure[];
}

/**
 * The house's own sieve table from its figures `screens.sieve-half-kept-um` and `screens.sieve-range-um`, each with points
 * of opening and length; none without them.
 *
 * @throws VeligridError `bad-argument` when one is there without the other, or for other openings
 */
export function houseSieve(book: FigureBook): HouseSieve {
  const [half, range] = [book.get('screens.sieve-half-kept-um'), book.get('screens.sieve-range-um')];
  if (half === undefined && range === undefined) return { rows: [], figures: [] };
  const ranges = new Map(range === undefined ? [] : pointsOf(range));
  const rows = (half === undefined ? [] : pointsOf(half)).flatMap(([apertureUm, l50]) => {
    const selectionRangeUm = ranges.get(apertureUm);
    return selectionRangeUm === undefined ? [] : [{ apertureUm, l50Um: exactly(l50), selectionRangeUm }];
  });
  if (
    half === undefined ||
    range === undefined ||
    rows.length !== ranges.size ||
    rows.length !== pointsOf(half).length
  ) {
    throw badArgument(
      'screens.sieve-half-kept-um and screens.sieve-range-um',
      'both given, as points of the same openings',
      `${rows.length} openings that stand in both`,
    );
  }
  return { rows, figures: [half, range] };
}
