import type { Limits } from '@veligrid/estimation';
import type { MoveFields } from '@veligrid/model';

/** A move as the record keeps it. */
export type Move = MoveFields & { readonly id: string };

/** Animals counted in a tank, by a count that staff signed off. */
export interface TankCount {
  /** Sample of the count. */
  readonly id: string;
  readonly tankId: string;
  readonly happenedAt: string;
  /** Live animals in the whole tank, with limits. */
  readonly alive: Limits;
  /** Dead ones and empty shells in the whole tank; null when they were not told. For information only. */
  readonly deadSeen: number | null;
}

/** Something that happened to a tank. */
export type SeasonEvent =
  { readonly kind: 'move'; readonly move: Move } | { readonly kind: 'count'; readonly count: TankCount };

const FIRST: readonly Move['kind'][] = ['stock', 'return'];

const happenedAt = (event: SeasonEvent): string =>
  event.kind === 'move' ? event.move.happenedAt : event.count.happenedAt;

/** At one time animals come in first, are counted then, and are moved after that, as on a drop day. */
const rank = (event: SeasonEvent): number => (event.kind === 'count' ? 1 : FIRST.includes(event.move.kind) ? 0 : 2);

/** Moves and counts in the order they happened; those of one time in the order of a drop day, then as given. */
export function inOrder(moves: readonly Move[], counts: readonly TankCount[]): SeasonEvent[] {
  const events: SeasonEvent[] = [
    ...moves.map((move) => ({ kind: 'move', move }) as const),
    ...counts.map((count) => ({ kind: 'count', count }) as const),
  ];
  return events.toSorted((a, b) => {
    const [one, other] = [happenedAt(a), happenedAt(b)];
    if (one !== other) return one < other ? -1 : 1;
    return rank(a) - rank(b);
  });
}
