import type { Photo } from '@veligrid/api';
import type { PhotoCount } from '@veligrid/model';
import type { Decision } from '@veligrid/review';
import type { DecisionEntry } from '@veligrid/storage';
import type { House } from '../house.js';

/** Counts kept in memory: as many as one sample has photos at most. */
const MOST = 50;

/** Counts never change under their id; the one used longest ago is forgotten first. */
const known = new WeakMap<House, Map<string, PhotoCount>>();

async function countById(house: House, id: string): Promise<PhotoCount | null> {
  const counts = known.get(house) ?? new Map<string, PhotoCount>();
  known.set(house, counts);
  const count = counts.get(id) ?? (await house.store.detections.get(id))?.count ?? null;
  counts.delete(id);
  if (count === null) return null;
  counts.set(id, count);
  for (const oldest of counts.keys()) {
    if (counts.size <= MOST) break;
    counts.delete(oldest);
  }
  return count;
}

/** Counts of those photos that have one, in the order of the photos. */
export async function countsOf(house: House, photos: readonly Photo[]): Promise<PhotoCount[]> {
  const counts: PhotoCount[] = [];
  for (const { count } of photos) {
    const found = count === null ? null : await countById(house, count);
    if (found !== null) counts.push(found);
  }
  return counts;
}

/** The decision that an entry keeps: it was checked when it came in. */
export const decisionOf = ({ payload }: DecisionEntry): Decision => payload as unknown as Decision;

/** The part of a log that is about some photos, undoing and redoing included. */
export function logOf(log: readonly Decision[], photos: ReadonlySet<string>): Decision[] {
  const kept = new Set<string>();
  return log.filter((decision) => {
    const about =
      decision.kind === 'undo' || decision.kind === 'redo' ? kept.has(decision.decision) : photos.has(decision.photo);
    if (about) kept.add(decision.id);
    return about;
  });
}
