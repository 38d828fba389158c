import type { Recorded, Stay } from '@veligrid/hatchery';
import type { CountedSample } from './counted-sample.js';

/** A stay that the animals of a count lived in, with the time until which its story is theirs. */
export interface PathStay {
  readonly stay: Stay;
  readonly until: string;
}

/** The stay in which a sample was counted; null for one of no tank, or of a tank that was empty then. */
export function stayOf(stays: readonly Stay[], { overview }: CountedSample): Stay | null {
  const { id } = overview.sample;
  return stays.find(({ counts }) => counts.some(({ count }) => count.id === id)) ?? null;
}

/** The stay that the first animals of a stay came from, and when; null when they were stocked. */
function cameFrom(stay: Stay, stays: readonly Stay[], { moves }: Recorded): PathStay | null {
  const first = stay.entries.find(({ line }) => line === 'movedIn' || line === 'stocked');
  const move = moves.find(({ id }) => id === first?.moveId);
  if (first?.line !== 'movedIn' || move === undefined) return null;
  const from = stays.find(
    (one) => one !== stay && one.entries.some(({ moveId, line }) => moveId === move.id && line === 'movedOut'),
  );
  return from === undefined ? null : { stay: from, until: move.happenedAt };
}

/** From the stay of a count back through the tanks that its animals were in before, latest first. */
export function pathOf(stay: Stay, until: string, stays: readonly Stay[], recorded: Recorded): PathStay[] {
  const path: PathStay[] = [{ stay, until }];
  for (let last = cameFrom(stay, stays, recorded); last !== null; last = cameFrom(last.stay, stays, recorded)) {
    const { stay: from } = last;
    if (path.some((one) => one.stay === from)) break;
    path.push(last);
  }
  return path;
}

/** Signed-off counts along a path, oldest first, each time once. */
export function countsAlong(path: readonly PathStay[], counted: readonly CountedSample[]): CountedSample[] {
  const ids = new Set(
    path.flatMap(({ stay, until }) =>
      stay.counts.filter(({ count }) => count.happenedAt <= until).map(({ count }) => count.id),
    ),
  );
  const found = counted.filter(({ overview }) => ids.has(overview.sample.id));
  return found
    .toSorted((a, b) => (a.overview.sample.takenAt < b.overview.sample.takenAt ? -1 : 1))
    .filter(({ overview }, i, all) => overview.sample.takenAt !== all[i + 1]?.overview.sample.takenAt);
}
