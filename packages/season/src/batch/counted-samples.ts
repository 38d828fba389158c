import type { StandingSample } from '@veligrid/storage';
import { resultOf, type KeptResult } from '../record/recorded.js';
import type { Named } from '../history/house-names.js';
import type { Season } from '../history/read-season.js';

/** A sample that staff signed off, as a point in the life of its batch. */
export interface CountedSample {
  readonly sample: Named;
  readonly tank: Named | null;
  readonly at: string;
  /** Days after fertilisation; null when that is not known. */
  readonly day: number | null;
  readonly fixed: boolean;
  readonly signedOff: KeptResult['signedOff'];
  readonly result: KeptResult;
}

const DAY_MS = 86_400_000;

/** Days from the first time to the second. */
export const daysBetween = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / DAY_MS;

/** Age at a time, days after fertilisation; null when it is not known. */
export const ageAt = (spawnedAt: string | null, at: string): number | null =>
  spawnedAt === null ? null : daysBetween(spawnedAt, at);

/** Something with its name, as the house calls it. */
export const namedBy = ({ names }: Pick<Season, 'names'>, id: string): Named => ({ id, name: names(id) ?? '' });

function countedSample(season: Season, standing: StandingSample, spawnedAt: string | null): CountedSample | null {
  const { sample } = standing;
  const result = resultOf(standing);
  if (result === null || !sample.active) return null;
  return {
    sample: { id: sample.id, name: sample.name },
    tank: sample.tankId === null ? null : namedBy(season, sample.tankId),
    at: sample.takenAt,
    day: ageAt(spawnedAt, sample.takenAt),
    fixed: sample.notes.kind === 'fixed',
    signedOff: result.signedOff,
    result,
  };
}

/** Where the samples of a season lie in their list, which is by time. */
interface Places {
  readonly bySample: ReadonlyMap<string, number>;
  readonly byBatch: ReadonlyMap<string, readonly number[]>;
}

const PLACES = new WeakMap<readonly StandingSample[], Places>();

/** Worked out once for all batches of a season. */
function placesIn(samples: readonly StandingSample[]): Places {
  const known = PLACES.get(samples);
  if (known !== undefined) return known;
  const bySample = new Map(samples.map(({ sample }, place) => [sample.id, place]));
  const byBatch = new Map<string, number[]>();
  for (const [place, { sample }] of samples.entries()) {
    const own = byBatch.get(sample.batchId ?? '') ?? [];
    byBatch.set(sample.batchId ?? '', own);
    own.push(place);
  }
  const places = { bySample, byBatch };
  PLACES.set(samples, places);
  return places;
}

/** Signed-off samples of a batch by time: those that name it, and those of its tanks that the ledger gives to it. */
export function countedSamples(
  season: Season,
  { id, spawnedAt }: { readonly id: string; readonly spawnedAt: string | null },
): CountedSample[] {
  const own = season.ledger.stays.filter(({ batchId }) => batchId === id);
  const { bySample, byBatch } = placesIn(season.samples);
  const counted = own.flatMap((stay) => stay.counts.flatMap(({ count }) => bySample.get(count.id) ?? []));
  return [...new Set([...counted, ...(byBatch.get(id) ?? [])])]
    .toSorted((a, b) => a - b)
    .flatMap((place) => season.samples[place] ?? [])
    .flatMap((standing) => countedSample(season, standing, spawnedAt) ?? []);
}
