import type { Move, TankCount } from '@veligrid/hatchery';

/** Day and hour of a made-up June. */
export const day = (number: number, hour = 8): string => new Date(Date.UTC(2026, 5, number, hour)).toJSON();

/** A move of exact numbers. */
export function move(id: string, kind: Move['kind'], fields: Partial<Move> = {}): Move {
  return {
    id,
    kind,
    happenedAt: day(1),
    batchId: 'A',
    fromTankId: null,
    toTankId: null,
    intoBatchId: null,
    number: 0,
    low: null,
    high: null,
    emptied: false,
    sampleId: null,
    screenUm: null,
    place: '',
    note: '',
    ...fields,
  };
}

/** A count of a tank; exact without a part to go up and down by. */
export function count(
  id: string,
  tankId: string,
  happenedAt: string,
  [alive, part = 0]: readonly [number, number?],
): TankCount {
  const limits = { estimate: alive, low: alive * (1 - part), high: alive * (1 + part) };
  return { id, tankId, happenedAt, alive: limits, deadSeen: null };
}
