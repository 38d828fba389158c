import type { Move } from './season-events.js';
import type { Stay } from './stay.js';

/** What a move finds. */
export interface Found {
  /** Stays that last, by tank. */
  readonly stays: ReadonlyMap<string, Stay>;
  /** Samples that were fixed. */
  readonly fixedSamples: ReadonlySet<string>;
}

/** Which ends a move has: whether it comes from a tank and goes to one. */
const ENDS: Readonly<Record<Move['kind'], { readonly from: boolean; readonly to: boolean }>> = {
  stock: { from: false, to: true },
  split: { from: true, to: true },
  merge: { from: true, to: true },
  drop: { from: true, to: true },
  cull: { from: true, to: false },
  sample: { from: true, to: false },
  return: { from: false, to: true },
  ship: { from: true, to: false },
  set: { from: true, to: false },
  discard: { from: true, to: false },
};

function endsRefusal({ kind, fromTankId, toTankId }: Move): string | null {
  const { from, to } = ENDS[kind];
  if (from !== (fromTankId !== null)) return from ? 'say which tank they are taken from' : 'it comes from no tank';
  if (to !== (toTankId !== null)) return to ? 'say which tank they go to' : 'it goes to no tank';
  if (fromTankId !== null && fromTankId === toTankId && kind !== 'drop') return 'it goes to the tank it comes from';
  return null;
}

function fromRefusal({ fromTankId, batchId }: Move, { stays }: Found): string | null {
  if (fromTankId === null) return null;
  const stay = stays.get(fromTankId);
  if (stay === undefined) return 'the tank they are taken from is empty';
  return stay.batchId === batchId ? null : 'the tank they are taken from holds another batch';
}

function toRefusal({ kind, toTankId, fromTankId, batchId, intoBatchId }: Move, { stays }: Found): string | null {
  if (toTankId === null || toTankId === fromTankId) return null;
  const there = stays.get(toTankId);
  if (kind === 'merge') return there === undefined ? 'the tank they go to is empty: split or drop instead' : null;
  if (kind === 'return' && there?.batchId !== batchId) return 'the tank they go back to holds another batch, or none';
  if (there === undefined || there.batchId === (intoBatchId ?? batchId)) return null;
  return 'the tank they go to holds another batch: merge instead, and say which batch all are then';
}

function sampleRefusal({ kind, sampleId }: Move, { fixedSamples }: Found): string | null {
  if (kind !== 'return') return null;
  if (sampleId === null) return 'say which sample is poured back';
  return fixedSamples.has(sampleId) ? 'a fixed sample never goes back into a tank' : null;
}

/** Why a move can't have happened as it is said; null when it can. */
export function moveRefusal(move: Move, found: Found): string | null {
  return endsRefusal(move) ?? sampleRefusal(move, found) ?? fromRefusal(move, found) ?? toRefusal(move, found);
}
