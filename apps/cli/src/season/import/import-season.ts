import { VeligridError } from '@veligrid/model';
import type { Store } from '@veligrid/storage';
import type { Desk } from '@veligrid/season';
import { deskOn } from '../open-desk.js';
import type { SeasonRow } from './season-rows.js';

/** What an import came to. */
export interface Imported {
  /** Rows kept by file. */
  readonly kept: Readonly<Record<string, number>>;
  /** Rows that can't be taken, and why. */
  readonly refused: readonly { readonly file: string; readonly line: number; readonly why: string }[];
}

/** Kinds that say when something happened: they are taken in the order of time, whatever file they stand in. */
const DATED = ['move', 'count', 'photographed', 'culture-reading', 'ration', 'water', 'setting', 'spat-count'];

/** At one time: animals come in, are counted, are moved on. */
function rank({ of, given }: SeasonRow): number {
  if (of.kind.name === 'culture-reading') return 0;
  if (of.kind.name === 'count' || of.kind.name === 'photographed') return 2;
  return of.kind.name === 'move' && ['stock', 'return'].includes(given.text('kind')) ? 1 : 3;
}

/** When a row happened; those that can't be read come last, where they are refused. */
function timeOf({ given }: SeasonRow): string {
  try {
    return given.maybeTime('at') ?? '9';
  } catch {
    return '9';
  }
}

/** Rows in the order they are kept: what is named first, then all that happened by its time. */
function inOrder(rows: readonly SeasonRow[]): SeasonRow[] {
  const dated = rows
    .filter(({ of }) => DATED.includes(of.kind.name))
    .map((row) => ({ row, at: timeOf(row), rank: rank(row) }));
  const sorted = dated.toSorted((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : a.rank - b.rank));
  return [...rows.filter(({ of }) => !DATED.includes(of.kind.name)), ...sorted.map(({ row }) => row)];
}

async function keepRow(row: SeasonRow, desk: Desk): Promise<string | null> {
  try {
    for (const { name, needed } of row.of.kind.fields) if (needed !== undefined) row.given.name(name);
    await row.of.kind.keep(row.given, { ...desk, by: row.by ?? desk.by });
    return null;
  } catch (error) {
    if (error instanceof VeligridError && error.code !== 'store-failed') return error.message;
    throw error;
  }
}

/** Ends a transaction that is to leave nothing. */
class NothingKept extends Error {}

/** Who imports, and whether it is a trial. */
export interface ImportOptions {
  readonly by: string;
  /** Tries all rows and keeps none. */
  readonly dryRun: boolean;
  readonly now?: () => string;
}

/**
 * Brings rows of a season into a store: all of them, or none when one is refused or it is a trial.
 */
export async function importSeason(
  store: Store,
  rows: readonly SeasonRow[],
  { by, dryRun, now }: ImportOptions,
): Promise<Imported> {
  const kept: Record<string, number> = {};
  const refused: { file: string; line: number; why: string }[] = [];
  const work = async (): Promise<void> => {
    const desk = deskOn(store, by, now);
    for (const row of inOrder(rows)) {
      const { file } = row.of;
      const why = await keepRow(row, desk);
      if (why === null) kept[file] = (kept[file] ?? 0) + 1;
      else refused.push({ file, line: row.line, why });
    }
    if (dryRun || refused.length > 0) throw new NothingKept();
  };
  try {
    await store.together(work);
  } catch (error) {
    if (!(error instanceof NothingKept)) throw error;
  }
  return { kept, refused };
}
