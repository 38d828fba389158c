import { seasonLedger, type Recorded, type SeasonLedger } from '@veligrid/hatchery';
import type { MoveFields } from '@veligrid/model';
import type { Parts, SampleOverview, SeasonEntry } from '@veligrid/storage';
import { recordedFrom } from '../record/recorded.js';
import { houseNames, type Names } from './house-names.js';

/** All moves and counts of a season, read once. */
export interface Season {
  readonly moves: readonly SeasonEntry<MoveFields>[];
  readonly overviews: readonly SampleOverview[];
  readonly recorded: Recorded;
  readonly ledger: SeasonLedger;
  readonly names: Names;
}

/** Reads moves and counts, and works the ledger through. */
export async function readSeason(parts: Parts): Promise<Season> {
  const [moves, overviews, names] = [await parts.moves.list(), await parts.samples.overview(), await houseNames(parts)];
  const recorded = recordedFrom(moves, overviews);
  return { moves, overviews, recorded, ledger: seasonLedger(recorded), names };
}
