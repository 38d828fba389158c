import { MOVE_KINDS, VeligridError, type MoveFields, type MoveKind } from '@veligrid/model';
import { presentIn, refusalOfMove, seasonLedger, type Recorded, type Stay } from '@veligrid/hatchery';
import type { SeasonEntry } from '@veligrid/storage';
import { find, ledgerOf, type Desk } from '../desk.js';
import { field, type Field, type Given } from '../given.js';
import { AT, NOTE, timeOrNow, type Kind } from '../kind.js';

const FROM = field('from', 'tank they are taken from');
const TO = field('to', 'tank they go to');

/** What is asked besides the tanks. */
const ABOUT: readonly Field[] = [
  field('batch', 'batch (default: the one in the tank)'),
  field('number', 'animals'),
  field('low', 'lower 95 % limit of the number'),
  field('high', 'upper 95 % limit of the number'),
  field('all', 'all that the tank holds: nothing is left in it', { yesNo: true }),
  field('count', 'sample whose count the number rests on; without a number, the number counted'),
  field('into_batch', 'batch that all in the tank they go to is afterwards'),
  field('screen_um', 'aperture of the screen, um'),
  field('place', 'where they went, or why'),
  AT,
  NOTE,
];

/** Limits that both are given, or none. */
type Number3 = Pick<MoveFields, 'number' | 'low' | 'high'>;

const missing = (message: string): VeligridError => new VeligridError('bad-argument', message);

function told(given: Given): Number3 | null {
  if (!given.has('number')) return null;
  const [number, low, high] = [given.number('number'), given.maybeNumber('low'), given.maybeNumber('high')];
  return { number, low, high };
}

/** The number counted in a sample. */
function counted({ counts }: Recorded, sampleId: string): Number3 {
  const count = counts.find(({ id }) => id === sampleId);
  if (count === undefined) {
    throw new VeligridError('refused', 'That count is not signed off, so it gives no number. Confirm it first.');
  }
  const { estimate, low, high } = count.alive;
  return { number: estimate, low, high };
}

/** All that a tank held at that time. */
function allOf(stay: Stay): Number3 & { readonly sampleId: string | null } {
  const { estimate, low, high } = presentIn(stay);
  const [only] = stay.present;
  const resting = stay.present.length === 1 && only !== undefined ? (stay.counts.at(-1)?.count.id ?? null) : null;
  return { number: estimate, low, high, sampleId: resting };
}

/** Everything that was recorded up to a time. */
const until = ({ moves, counts, ...rest }: Recorded, at: string): Recorded => ({
  ...rest,
  moves: moves.filter(({ happenedAt }) => happenedAt <= at),
  counts: counts.filter(({ happenedAt }) => happenedAt <= at),
});

interface Where {
  readonly fromTankId: string | null;
  readonly toTankId: string | null;
  /** What was in the tank they are taken from. */
  readonly stay: Stay | null;
}

async function whereOf(given: Given, desk: Desk, recorded: Recorded, at: string): Promise<Where> {
  const from = given.has('from') ? await find(desk, 'tank', given.name('from')) : null;
  const to = given.has('to') ? await find(desk, 'tank', given.name('to')) : null;
  const { stays } = seasonLedger(until(recorded, at));
  const stay = stays.find(({ tankId, endedAt }) => tankId === from?.id && endedAt === null) ?? null;
  return { fromTankId: from?.id ?? null, toTankId: to?.id ?? null, stay };
}

async function batchOf(given: Given, desk: Desk, { stay }: Where): Promise<string> {
  if (given.has('batch')) return (await find(desk, 'batch', given.name('batch'))).id;
  if (stay !== null) return stay.batchId;
  if (given.has('from')) throw missing(`Tank "${given.text('from')}" is empty at that time.`);
  throw missing('batch is missing.');
}

function numberOf(
  given: Given,
  recorded: Recorded,
  sampleId: string | null,
  { stay }: Where,
): Number3 & { sampleId: string | null } {
  const number = told(given);
  if (number !== null) return { ...number, sampleId };
  if (sampleId !== null) return { ...counted(recorded, sampleId), sampleId };
  if (given.yes('all') && stay !== null) return allOf(stay);
  throw missing('number is missing: give it, or the count that it rests on, or say that it is all.');
}

/** The move as given. */
async function moveOf(given: Given, desk: Desk, kind: MoveKind, recorded: Recorded): Promise<MoveFields> {
  const happenedAt = timeOrNow(given, desk);
  const where = await whereOf(given, desk, recorded, happenedAt);
  const batchId = await batchOf(given, desk, where);
  const sample = given.has('count') ? (await find(desk, 'sample', given.name('count'))).id : null;
  const into = given.has('into_batch') ? (await find(desk, 'batch', given.name('into_batch'))).id : null;
  const dropped = kind === 'drop' && where.toTankId !== where.fromTankId;
  const move: MoveFields = {
    kind,
    happenedAt,
    batchId,
    fromTankId: where.fromTankId,
    toTankId: where.toTankId,
    intoBatchId: into,
    ...numberOf(given, recorded, sample, where),
    emptied: given.yes('all') || dropped,
    screenUm: given.maybeAbove0('screen_um'),
    place: given.text('place'),
    note: given.text('note'),
  };
  checkSlip(move, where.stay);
  return move;
}

/** So many times what a tank can hold at most is a slip of the hand, not a count that was off. */
const SLIP = 10;

function checkSlip({ number }: MoveFields, stay: Stay | null): void {
  if (stay === null || number <= SLIP * presentIn(stay).high) return;
  const most = presentIn(stay).high.toLocaleString('en-US', { maximumFractionDigits: 0 });
  throw new VeligridError(
    'refused',
    `number is ${number}, and the tank holds ${most} at most by what is recorded. Correct one of both.`,
  );
}

/**
 * Keeps a move.
 *
 * @throws VeligridError `refused` when it can't have happened as it is said
 */
export async function keepMove(given: Given, desk: Desk, kind: MoveKind): Promise<SeasonEntry<MoveFields>> {
  const { recorded } = await ledgerOf(desk);
  const move = await moveOf(given, desk, kind, recorded);
  const why = refusalOfMove(recorded, { ...move, id: 'new' });
  if (why !== null) throw new VeligridError('refused', `This can't have happened: ${why}.`);
  return desk.parts.moves.append(move, { by: desk.by });
}

const NEEDED = { needed: 'always' } as const;

/** Fields of each kind of move as a command of its own. */
export function moveFields(kind: MoveKind): readonly Field[] {
  const from: Field = { ...FROM, ...NEEDED };
  const to: Field = { ...TO, ...NEEDED };
  const without = (...names: string[]): Field[] => ABOUT.filter(({ name }) => !names.includes(name));
  if (kind === 'stock')
    return [to, ...without('all', 'into_batch').map((one) => (one.name === 'batch' ? { ...one, ...NEEDED } : one))];
  if (kind === 'return') return [to, ...without('all', 'into_batch', 'screen_um')];
  if (kind === 'split' || kind === 'merge' || kind === 'drop') return [from, to, ...ABOUT];
  return [from, ...without('into_batch')];
}

/** Moves in a file of a season: one table for all kinds. */
export const MOVE: Kind = {
  name: 'move',
  about: 'animals that came, went or changed tanks',
  fields: [field('kind', 'what was done', { needed: 'always', choices: MOVE_KINDS }), FROM, TO, ...ABOUT],
  keep: (given, desk) => keepMove(given, desk, given.choice('kind', MOVE_KINDS)),
};
