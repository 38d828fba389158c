import { balanceOf, batchesIn, presentIn, refusalOfMove, seasonLedger, type Move } from '@veligrid/hatchery';
import { describe, expect, it } from 'vitest';
import { count, day, move } from './moves.js';

const stocked = [
  move('a', 'stock', { toTankId: 'T1', number: 3000 }),
  move('b', 'stock', { toTankId: 'T2', number: 1000, batchId: 'B' }),
];

const numbersIn = (moves: readonly Move[]): Record<string, [string, number]> =>
  Object.fromEntries(
    seasonLedger({ moves, counts: [] })
      .stays.filter(({ endedAt }) => endedAt === null)
      .map((stay) => [stay.tankId, [stay.batchId, presentIn(stay).estimate]]),
  );

describe('moves between tanks', () => {
  it('a split leaves the rest, keeps the batch or begins a new one', () => {
    const split = move('c', 'split', { happenedAt: day(2), fromTankId: 'T1', toTankId: 'T3', number: 1200 });
    expect(numbersIn([...stocked, split])).toEqual({ T1: ['A', 1800], T2: ['B', 1000], T3: ['A', 1200] });
    expect(numbersIn([...stocked, { ...split, intoBatchId: 'A2' }])).toMatchObject({ T3: ['A2', 1200] });
  });

  it('a merge keeps totals, and the batch it makes is of both by numbers', () => {
    const merge = move('c', 'merge', {
      happenedAt: day(2),
      fromTankId: 'T1',
      toTankId: 'T2',
      number: 3000,
      emptied: true,
      intoBatchId: 'M',
    });
    const ledger = seasonLedger({ moves: [...stocked, merge], counts: [] });
    expect(numbersIn([...stocked, merge])).toEqual({ T2: ['M', 4000] });
    expect([...batchesIn(ledger, 'M')]).toEqual([
      ['B', 0.25],
      ['A', 0.75],
    ]);
    const of = (batchId: string): ReturnType<typeof balanceOf> =>
      balanceOf(ledger.stays.filter((stay) => stay.batchId === batchId));
    expect([of('A').lines.movedOut.estimate, of('A').unexplained?.estimate]).toEqual([3000, 0]);
    expect([of('B').lines.movedOut.estimate, of('B').unexplained?.estimate]).toEqual([1000, 0]);
    expect(of('M').present.estimate).toBe(4000);
  });

  it('a merge into the batch that is there leaves its name; a later split takes the mix along', () => {
    const moves = [
      ...stocked,
      move('c', 'merge', { happenedAt: day(2), fromTankId: 'T1', toTankId: 'T2', number: 1000 }),
      move('d', 'split', {
        happenedAt: day(3),
        batchId: 'B',
        fromTankId: 'T2',
        toTankId: 'T3',
        number: 500,
        intoBatchId: 'C',
      }),
    ];
    const ledger = seasonLedger({ moves, counts: [] });
    expect(ledger.refused).toEqual([]);
    expect(numbersIn(moves)).toEqual({ T1: ['A', 2000], T2: ['B', 1500], T3: ['C', 500] });
    expect(Object.fromEntries(batchesIn(ledger, 'C'))).toEqual({ A: 0.5, B: 0.5 });
    expect(Object.fromEntries(batchesIn(ledger, 'A'))).toEqual({ A: 1 });
  });

  it('mixes by the numbers at that time, deaths since the stocking counted', () => {
    const moves = [
      ...stocked,
      move('c', 'merge', { happenedAt: day(4), fromTankId: 'T1', toTankId: 'T2', number: 500, intoBatchId: 'M' }),
    ];
    const ledger = seasonLedger({ moves, counts: [count('n', 'T2', day(3), [500])] });
    expect(Object.fromEntries(batchesIn(ledger, 'M'))).toEqual({ A: 0.5, B: 0.5 });
  });

  it('a drop into the same tank changes no number, and into another moves all', () => {
    const drop = move('c', 'drop', {
      happenedAt: day(2),
      fromTankId: 'T1',
      toTankId: 'T1',
      number: 3000,
      screenUm: 60,
    });
    expect(numbersIn([...stocked, drop])).toMatchObject({ T1: ['A', 3000] });
    expect(numbersIn([...stocked, { ...drop, toTankId: 'T4', emptied: true }])).toEqual({
      T2: ['B', 1000],
      T4: ['A', 3000],
    });
  });

  it('of one time are taken as on a drop day: in, counted, then on', () => {
    const moves = [move('x', 'split', { fromTankId: 'T1', toTankId: 'T3', number: 900 }), ...stocked];
    const { stays, refused } = seasonLedger({ moves, counts: [count('n', 'T1', day(1), [2700])] });
    expect(refused).toEqual([]);
    expect(stays.map((stay) => [stay.tankId, presentIn(stay).estimate])).toContainEqual(['T1', 1800]);
  });
});

describe('moves that can not have happened', () => {
  const cases: [string, Partial<Move> & Pick<Move, 'kind'>, string][] = [
    ['out of an empty tank', { kind: 'cull', fromTankId: 'T9' }, 'is empty'],
    ['of a batch that is not there', { kind: 'cull', fromTankId: 'T2' }, 'holds another batch'],
    ['into a tank of another batch', { kind: 'split', fromTankId: 'T1', toTankId: 'T2' }, 'merge instead'],
    ['stocked onto another batch', { kind: 'stock', toTankId: 'T2' }, 'merge instead'],
    ['merged into an empty tank', { kind: 'merge', fromTankId: 'T1', toTankId: 'T9' }, 'split or drop instead'],
    ['split into itself', { kind: 'split', fromTankId: 'T1', toTankId: 'T1' }, 'the tank it comes from'],
    ['culled into a tank', { kind: 'cull', fromTankId: 'T1', toTankId: 'T3' }, 'goes to no tank'],
    ['stocked from a tank', { kind: 'stock', fromTankId: 'T1', toTankId: 'T3' }, 'comes from no tank'],
    ['taken from nowhere', { kind: 'ship' }, 'say which tank'],
    ['poured back without a sample', { kind: 'return', toTankId: 'T1' }, 'say which sample'],
  ];
  it.each(cases)('%s is refused and changes nothing', (_, fields, words) => {
    const wrong = move('w', fields.kind, { happenedAt: day(2), number: 10, ...fields });
    const { refused } = seasonLedger({ moves: [...stocked, wrong], counts: [] });
    expect(refused).toEqual([{ id: 'w', why: expect.stringContaining(words) as string }]);
    expect(refusalOfMove({ moves: stocked, counts: [] }, wrong)).toContain(words);
    expect(numbersIn([...stocked, wrong])).toEqual(numbersIn(stocked));
  });

  it('said late, so that something after it is no longer possible, are refused too', () => {
    const later = move('c', 'ship', { happenedAt: day(5), fromTankId: 'T1', number: 10 });
    const emptied = move('d', 'discard', { happenedAt: day(4), fromTankId: 'T1', number: 3000, emptied: true });
    const recorded = { moves: [...stocked, later], counts: [] };
    expect(refusalOfMove(recorded, emptied)).toContain('no longer be possible: the tank they are taken from is empty');
    expect(refusalOfMove(recorded, { ...emptied, happenedAt: day(6) })).toBeNull();
    // a correction stands in for the move of the same id
    expect(refusalOfMove(recorded, { ...later, number: 20 })).toBeNull();
  });

  it('a count of an empty tank is left out', () => {
    const { refused } = seasonLedger({ moves: stocked, counts: [count('n', 'T9', day(2), [5])] });
    expect(refused).toEqual([{ id: 'n', why: 'the tank that was counted is empty' }]);
  });
});
