import type { Season } from '../history/read-season.js';

/** A move or a count that can't have happened as it is said; it is left out of all numbers. */
export interface RefusedEntry {
  readonly kind: 'move' | 'sample';
  readonly id: string;
  readonly at: string;
  readonly by: string;
  /** In English, without a full stop. */
  readonly why: string;
}

/** What a refused entry is about. */
interface About {
  readonly batchIds: readonly (string | null)[];
  readonly tankIds: readonly (string | null)[];
}

/** Refused entries that are about something. */
export function refusedOf({ ledger, moves, samples }: Season, isMeant: (about: About) => boolean): RefusedEntry[] {
  return ledger.refused.flatMap(({ id, why }): RefusedEntry[] => {
    const move = moves.find((one) => one.id === id);
    if (move !== undefined) {
      const about = { batchIds: [move.batchId, move.intoBatchId], tankIds: [move.fromTankId, move.toTankId] };
      return isMeant(about) ? [{ kind: 'move', id, at: move.happenedAt, by: move.by, why }] : [];
    }
    const sample = samples.find((one) => one.sample.id === id)?.sample;
    if (sample === undefined || !isMeant({ batchIds: [sample.batchId], tankIds: [sample.tankId] })) return [];
    return [{ kind: 'sample', id, at: sample.takenAt, by: sample.addedBy, why }];
  });
}
