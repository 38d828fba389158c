import { seasonLedger, type Recorded, type SeasonLedger } from '@veligrid/hatchery';
import type { MoveFields } from '@veligrid/model';
import type { Parts, SampleOverview, SeasonEntry, StandingSample } from '@veligrid/storage';
import { recordedFrom } from '../record/recorded.js';
import { houseNames, type Names } from './house-names.js';

/** All moves and counts of a season, read once. */
export interface Season {
  readonly moves: readonly SeasonEntry<MoveFields>[];
  /** Every sample with what stands of it; nothing of its photos. */
  readonly samples: readonly StandingSample[];
  readonly recorded: Recorded;
  readonly ledger: SeasonLedger;
  readonly names: Names;
}

/** Reads moves and counts, and works the ledger through. */
export async function readSeason(parts: Parts): Promise<Season> {
  const [moves, samples, names] = [await parts.moves.list(), await parts.samples.standing(), await houseNames(parts)];
  const recorded = recordedFrom(moves, samples);
  return { moves, samples, recorded, ledger: seasonLedger(recorded), names };
}

/**
 * Samples of some batches with the figures of their photos, by the time they were taken; those of no batch by the tanks
 * that the batches were in.
 */
export async function overviewsOf(
  parts: Pick<Parts, 'samples'>,
  { samples, ledger }: Season,
  batchIds: ReadonlySet<string>,
): Promise<SampleOverview[]> {
  const own = ledger.stays.filter(({ batchId }) => batchIds.has(batchId));
  const nameless = new Set(samples.flatMap(({ sample }) => (sample.batchId === null ? [sample.tankId ?? ''] : [])));
  const tanks = new Set(own.map(({ tankId }) => tankId).filter((tankId) => nameless.has(tankId)));
  const found = new Map<string, SampleOverview>();
  for (const batchId of batchIds) {
    for (const one of await parts.samples.overview({ batchId })) found.set(one.sample.id, one);
  }
  for (const tankId of tanks) {
    for (const one of await parts.samples.overview({ tankId })) found.set(one.sample.id, one);
  }
  return [...found.values()].toSorted((a, b) => (a.sample.takenAt < b.sample.takenAt ? -1 : 1));
}
