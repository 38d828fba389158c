import type { JoinedCount } from '@veligrid/imaging';
import type { PhotoCount } from '@veligrid/model';
import { larvaOf, type SlideTruth } from './slide-truth.js';

/** How the photos of one set came out. */
export interface SetResult {
  readonly name: string;
  /** Larvae that are whole in one photo at least. */
  readonly truth: number;
  readonly counted: number;
  /** What the photos add up to when each is counted for itself. */
  readonly apart: number;
  /** Still larvae counted more than once, and counted no more though a photo had them. */
  readonly twice: number;
  readonly lost: number;
  /** Whether all photos were recognised as of one place. */
  readonly joined: boolean;
}

function timesCounted(
  counts: readonly PhotoCount[],
  photos: readonly string[],
  truth: SlideTruth,
): Map<number, number> {
  const times = new Map<number, number>();
  for (const [k, { detections }] of counts.entries()) {
    for (const one of detections) {
      const larva = one.counted ? larvaOf(truth, photos[k] ?? '', one) : -1;
      if (larva >= 0) times.set(larva, (times.get(larva) ?? 0) + 1);
    }
  }
  return times;
}

const countedIn = (counts: readonly PhotoCount[]): number =>
  counts.reduce((sum, { detections }) => sum + detections.filter(({ counted }) => counted).length, 0);

/** Compares what was joined with what was drawn. */
export function setResult(
  set: SlideTruth['sets'][number],
  truth: SlideTruth,
  { before, joined }: { readonly before: readonly PhotoCount[]; readonly joined: JoinedCount },
): SetResult {
  const { name, photos } = set;
  const had = timesCounted(before, photos, truth);
  const has = timesCounted(joined.counts, photos, truth);
  return {
    name,
    truth: new Set(photos.flatMap((photo) => truth.photos[photo]?.whole ?? [])).size,
    counted: joined.counted,
    apart: countedIn(before),
    twice: [...has.values()].reduce((sum, times) => sum + times - 1, 0),
    lost: [...had.keys()].filter((larva) => !has.has(larva)).length,
    joined: joined.groups.length === 1,
  };
}
