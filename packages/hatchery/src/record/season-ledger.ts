import { moveRefusal, type Found } from './move-refusal.js';
import { negated, type Term } from './number-sum.js';
import { inOrder, type Move, type TankCount } from './season-events.js';
import { beginStay, ended, withCount, withEntry, type LedgerLine, type Stay } from './stay.js';

/** What is recorded of a season's animals. */
export interface Recorded {
  readonly moves: readonly Move[];
  readonly counts: readonly TankCount[];
  /** Samples that were fixed: nothing of them goes back. */
  readonly fixedSamples?: ReadonlySet<string>;
}

/** All that moved, tank by tank. */
export interface SeasonLedger {
  /** Those that are over first, in the order they ended; then those that last, by when they began. */
  readonly stays: readonly Stay[];
  /** Moves and counts that can't have happened as they are said; they are left out of all numbers. */
  readonly refused: readonly { readonly id: string; readonly why: string }[];
}

const OUT_LINES: Readonly<Partial<Record<Move['kind'], LedgerLine>>> = {
  split: 'movedOut',
  merge: 'movedOut',
  drop: 'movedOut',
  cull: 'culled',
  sample: 'sampled',
  ship: 'shipped',
  set: 'putToSet',
  discard: 'discarded',
};

/** The number of a move as it comes in or goes out; it errs with the count that it rests on. */
function termsOf({ id, kind, number, low, high, sampleId }: Move): Term[] {
  const basis = sampleId !== null && kind !== 'sample' && kind !== 'return' ? sampleId : id;
  return [{ sign: 1, number: { estimate: number, low: low ?? number, high: high ?? number }, basis }];
}

/** Works through a season. */
class Ledger implements Found {
  readonly stays = new Map<string, Stay>();
  readonly over: Stay[] = [];
  readonly refused: { id: string; why: string }[] = [];
  readonly fixedSamples: ReadonlySet<string>;

  constructor(fixedSamples: ReadonlySet<string>) {
    this.fixedSamples = fixedSamples;
  }

  #end(tankId: string, at: string): void {
    const stay = this.stays.get(tankId);
    if (stay === undefined) return;
    this.over.push(ended(stay, at));
    this.stays.delete(tankId);
  }

  /** Takes animals out of their tank, and gives them with their shares. */
  #out(move: Move): { terms: Term[]; shares: ReadonlyMap<string, number> } {
    const terms = termsOf(move);
    const stay = move.fromTankId === null ? undefined : this.stays.get(move.fromTankId);
    if (stay === undefined) return { terms, shares: new Map([[move.batchId, 1]]) };
    const line = OUT_LINES[move.kind] ?? 'movedOut';
    this.stays.set(stay.tankId, withEntry(stay, { line, at: move.happenedAt, terms, moveId: move.id }));
    if (move.emptied) this.#end(stay.tankId, move.happenedAt);
    return { terms, shares: stay.shares };
  }

  /** Gives everything in a tank to another batch. */
  #rename(tankId: string, batchId: string, { id, happenedAt }: Move): void {
    const stay = this.stays.get(tankId);
    if (stay === undefined || stay.batchId === batchId) return;
    const terms = stay.present;
    this.stays.set(tankId, withEntry(stay, { line: 'movedOut', at: happenedAt, terms, moveId: id }));
    this.#end(tankId, happenedAt);
    const renamed = beginStay(tankId, batchId, happenedAt);
    const entry = { line: 'movedIn', at: happenedAt, terms, moveId: id } as const;
    this.stays.set(tankId, withEntry(renamed, entry, stay.shares));
  }

  #in(move: Move, terms: readonly Term[], shares: ReadonlyMap<string, number>): void {
    const { toTankId, happenedAt, kind, id, batchId, intoBatchId } = move;
    if (toTankId === null) return;
    const there = this.stays.get(toTankId);
    const after = intoBatchId ?? (kind === 'merge' ? there?.batchId : undefined) ?? batchId;
    this.#rename(toTankId, after, move);
    const stay = this.stays.get(toTankId) ?? beginStay(toTankId, after, happenedAt);
    // what is poured back was never gone
    const entry =
      kind === 'return'
        ? ({ line: 'sampled', at: happenedAt, terms: negated(terms), moveId: id } as const)
        : ({ line: kind === 'stock' ? 'stocked' : 'movedIn', at: happenedAt, terms, moveId: id } as const);
    this.stays.set(toTankId, withEntry(stay, entry, kind === 'return' ? undefined : shares));
  }

  move(move: Move): void {
    const why = moveRefusal(move, this);
    if (why !== null) {
      this.refused.push({ id: move.id, why });
      return;
    }
    // dropped into the tank it came from: only its water changed
    if (move.kind === 'drop' && move.fromTankId === move.toTankId) return;
    const { terms, shares } = this.#out(move);
    this.#in(move, terms, shares);
  }

  count(count: TankCount): void {
    const stay = this.stays.get(count.tankId);
    if (stay === undefined) this.refused.push({ id: count.id, why: 'the tank that was counted is empty' });
    else this.stays.set(count.tankId, withCount(stay, count));
  }
}

function workedThrough({ moves, counts, fixedSamples = new Set() }: Recorded): Ledger {
  const ledger = new Ledger(fixedSamples);
  for (const event of inOrder(moves, counts)) {
    if (event.kind === 'move') ledger.move(event.move);
    else ledger.count(event.count);
  }
  return ledger;
}

/**
 * All that moved, tank by tank, from moves and signed-off counts. What leaves a tank takes the tank's mix of batches along
 * by numbers: a tank is taken as well mixed, and batches in one tank as dying alike.
 */
export function seasonLedger(recorded: Recorded): SeasonLedger {
  const ledger = workedThrough(recorded);
  return { stays: [...ledger.over, ...ledger.stays.values()], refused: ledger.refused };
}

/** Why a move can't be added to what is recorded; null when it can. Moves recorded later must still be possible. */
export function refusalOfMove(recorded: Recorded, move: Move): string | null {
  const before = workedThrough(recorded).refused.map(({ id }) => id);
  const others = recorded.moves.filter(({ id }) => id !== move.id);
  const { refused } = workedThrough({ ...recorded, moves: [...others, move] });
  const own = refused.find(({ id }) => id === move.id);
  if (own !== undefined) return own.why;
  const broken = refused.find(({ id }) => !before.includes(id));
  return broken === undefined ? null : `something recorded after it would no longer be possible: ${broken.why}`;
}
