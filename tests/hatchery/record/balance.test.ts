import { balanceOf, presentIn, seasonLedger, verdictOf } from '@veligrid/hatchery';
import { describe, expect, it } from 'vitest';
import { sumOf } from '../../../packages/hatchery/src/record/number-sum.js';
import { count, day, move } from './moves.js';

const limits = (estimate: number, by: number): { estimate: number; low: number; high: number } => ({
  estimate,
  low: estimate - by,
  high: estimate + by,
});

describe('a sum of numbers', () => {
  it('adds what errs apart in squares: 3 and 4 make 5', () => {
    const sum = sumOf([
      { sign: 1, number: limits(100, 3), basis: 'a' },
      { sign: -1, number: limits(50, 4), basis: 'b' },
    ]);
    expect(sum).toEqual({ estimate: 50, low: 45, high: 55 });
  });
  it('adds what errs together plainly: the half of a count taken off the whole leaves half its error', () => {
    const sum = sumOf([
      { sign: 1, number: limits(100, 8), basis: 'a' },
      { sign: -1, number: limits(50, 4), basis: 'a' },
    ]);
    expect(sum).toEqual({ estimate: 50, low: 46, high: 54 });
  });
  it('turns uneven limits round when they are taken off', () => {
    const number = { estimate: 100, low: 90, high: 130 };
    expect(sumOf([{ sign: -1, number, basis: 'a' }])).toEqual({ estimate: -100, low: -130, high: -90 });
    expect(sumOf([])).toEqual({ estimate: 0, low: 0, high: 0 });
  });
});

describe('the balance of a tank', () => {
  // by pencil: 1,000,000 in; 120,000 culled, 200 in samples, 80,000 shipped; 760,000 alive -> 39,800 nobody can explain
  const moves = [
    move('1', 'stock', { toTankId: 'T', number: 1e6, low: 9e5, high: 1.1e6 }),
    move('2', 'cull', { happenedAt: day(3), fromTankId: 'T', number: 120_000 }),
    move('3', 'sample', { happenedAt: day(4), fromTankId: 'T', number: 200 }),
    move('4', 'ship', { happenedAt: day(5), fromTankId: 'T', number: 80_000 }),
    move('5', 'set', { happenedAt: day(9), fromTankId: 'T', number: 300_000 }),
  ];
  const [stay] = seasonLedger({ moves, counts: [count('c', 'T', day(6), [760_000, 0.05])] }).stays;

  it('adds up line by line to the last count, and what came after it is what is there now', () => {
    const balance = balanceOf(stay === undefined ? [] : [stay]);
    const estimates = Object.entries(balance.lines).map(([line, { estimate }]) => [line, estimate]);
    expect(Object.fromEntries(estimates)).toEqual({
      stocked: 1e6,
      movedIn: 0,
      movedOut: 0,
      culled: 120_000,
      sampled: 200,
      shipped: 80_000,
      putToSet: 0,
      discarded: 0,
    });
    expect(balance.alive).toEqual({ estimate: 760_000, low: 722_000, high: 798_000 });
    expect(balance.unexplained?.estimate).toBe(39_800);
    // 100,000 of the stocking and 38,000 of the count: root of 1.1444e10
    expect(balance.unexplained?.low).toBeCloseTo(39_800 - 106_976.6, 0);
    expect(balance.unexplained?.high).toBeCloseTo(39_800 + 106_976.6, 0);
    expect(balance.verdict).toBe('no-measurable-loss');
    expect([balance.present.estimate, balance.since]).toEqual([460_000, 1]);
  });

  it.each([
    [limits(10, 5), 'loss'],
    [limits(10, 12), 'no-measurable-loss'],
    [limits(0, 0), 'no-measurable-loss'],
    [limits(-10, 5), 'more-than-came-in'],
    [null, 'not-counted'],
  ] as const)('reads %j as %s', (unexplained, verdict) => {
    expect(verdictOf(unexplained)).toBe(verdict);
  });

  it('flags a count above what was stocked: 36,111, then 74,667 alive of 60,000', () => {
    // a kept season: github RobertsLab/project-oyster-oa, hatch and survival of two buckets
    const { stays } = seasonLedger({
      moves: [move('1', 'stock', { toTankId: 'B2', number: 60_000 })],
      counts: [count('a', 'B2', day(3), [36_111.1, 0.2]), count('b', 'B2', day(5), [74_666.7, 0.15])],
    });
    expect(balanceOf(stays).verdict).toBe('more-than-came-in');
    expect(stays[0]?.counts.map(({ unexplained }) => verdictOf(unexplained))).toEqual(['loss', 'more-than-came-in']);
  });

  it('is not known before the first count, and closed when the tank is emptied', () => {
    const stocked = move('1', 'stock', { toTankId: 'T', number: 100 });
    const before = balanceOf(seasonLedger({ moves: [stocked], counts: [] }).stays);
    expect([before.verdict, before.alive, before.unexplained]).toEqual(['not-counted', null, null]);
    expect(before.present.estimate).toBe(100);
    const emptied = move('2', 'ship', { happenedAt: day(2), fromTankId: 'T', number: 70, emptied: true });
    const { stays } = seasonLedger({ moves: [stocked, emptied], counts: [] });
    const after = balanceOf(stays);
    expect([after.verdict, after.alive?.estimate, after.unexplained?.estimate]).toEqual(['loss', 0, 30]);
    expect(stays[0] && presentIn(stays[0])).toEqual({ estimate: 0, low: 0, high: 0 });
  });

  it('does not widen when the number moved is the count itself', () => {
    const { stays } = seasonLedger({
      moves: [
        move('1', 'stock', { toTankId: 'T', number: 1e6 }),
        move('2', 'drop', {
          happenedAt: day(2),
          fromTankId: 'T',
          toTankId: 'U',
          number: 8e5,
          low: 7e5,
          high: 9e5,
          sampleId: 'c',
          emptied: true,
        }),
      ],
      counts: [count('c', 'T', day(2), [8e5, 0.125])],
    });
    const [left, there] = stays;
    // 1,000,000 less 800,000 with the error of the one count
    expect(left && balanceOf([left]).unexplained).toEqual({ estimate: 2e5, low: 1e5, high: 3e5 });
    expect(there && presentIn(there)).toEqual({ estimate: 8e5, low: 7e5, high: 9e5 });
  });

  it('nets what is poured back of a live sample; a fixed one is refused and changes nothing', () => {
    const moves = [
      move('1', 'stock', { toTankId: 'T', number: 1000 }),
      move('2', 'sample', { happenedAt: day(2), fromTankId: 'T', number: 50, sampleId: 's' }),
      move('3', 'return', { happenedAt: day(2, 9), toTankId: 'T', number: 40, sampleId: 's' }),
    ];
    const counts = [count('c', 'T', day(3), [990])];
    const live = balanceOf(seasonLedger({ moves, counts }).stays);
    expect([live.lines.sampled.estimate, live.unexplained?.estimate]).toEqual([10, 0]);
    const fixed = seasonLedger({ moves, counts, fixedSamples: new Set(['s']) });
    expect(fixed.refused).toEqual([{ id: '3', why: 'a fixed sample never goes back into a tank' }]);
    expect(balanceOf(fixed.stays).lines.sampled.estimate).toBe(50);
  });
});
