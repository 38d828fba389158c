import { cameThrough, seasonLedger } from '@veligrid/hatchery';
import { describe, expect, it } from 'vitest';
import { count, day, move } from './moves.js';

const near = (value: number, digits = 4) => expect.closeTo(value, digits) as number;

describe('survival from the start of a batch to each count', () => {
  // A bucket of a published hatchery notebook: per cent of the 60,000 stocked that were alive every second day.
  // Rates worked out by hand from its numbers.
  const alive = [55_555.6, 58_500, 41_600, 34_666.7, 23_306.7, 8_533.3, 9_600, 7_286.7, 1_760];
  const perCent = [92.59, 97.5, 69.33, 57.78, 38.84, 14.22, 16, 12.14, 2.93];
  const stocked = move('in', 'stock', { toTankId: 'T', number: 60_000 });
  const counts = alive.map((number, i) => count(`c${i}`, 'T', day(3 + 2 * i), [number]));

  it('is the count over what was stocked when nothing was moved, a rise shown as it is', () => {
    const { steps, overall } = cameThrough(seasonLedger({ moves: [stocked], counts }).stays, 'A');
    expect(steps.map(({ survival }) => 100 * survival.estimate)).toEqual(perCent.map((one) => near(one, 2)));
    expect(overall?.estimate).toBeCloseTo(0.02933, 4);
  });

  it('does not change by what is culled, split or shipped: by pencil 1/2 and 2/3 make 1/3', () => {
    const moves = [
      move('1', 'stock', { toTankId: 'T', number: 1000 }),
      move('2', 'cull', { happenedAt: day(2, 9), fromTankId: 'T', number: 200 }),
      move('3', 'split', { happenedAt: day(2, 10), fromTankId: 'T', toTankId: 'U', number: 150 }),
      move('4', 'ship', { happenedAt: day(4, 9), fromTankId: 'T', number: 20 }),
    ];
    // 1000 -> 500 (1/2); less 200 and 150 leaves 150 -> 100 (2/3); in U 150 -> 75 (1/2)
    const after = [
      count('a', 'T', day(2), [500]),
      count('b', 'T', day(4), [100]),
      count('c', 'U', day(4), [75]),
      count('d', 'T', day(5), [80]),
    ];
    const { steps, overall } = cameThrough(seasonLedger({ moves, counts: after }).stays, 'A');
    expect(steps.map(({ sampleId, survival }) => [sampleId, survival.estimate])).toEqual([
      ['a', near(1 / 2)],
      ['b', near(1 / 3)],
      ['c', near(1 / 4)],
      ['d', near(1 / 3)],
    ]);
    // T: 80 stand for 240; U: 75 stand for 300
    expect(overall?.estimate).toBeCloseTo(155 / 540, 9);
  });

  it('of larvae of two batches in one tank weighs both by what they stand for', () => {
    const moves = [
      move('1', 'stock', { toTankId: 'T', number: 1000 }),
      move('2', 'stock', { toTankId: 'U', batchId: 'B', number: 400 }),
      move('3', 'merge', { happenedAt: day(2, 9), fromTankId: 'T', toTankId: 'U', number: 250, emptied: true }),
    ];
    const after = [count('a', 'T', day(2), [250]), count('b', 'U', day(2), [200]), count('c', 'U', day(3), [225])];
    const { stays } = seasonLedger({ moves, counts: after });
    // 250 stand for 1000 and 200 for 400: 225 of 1400
    const { steps } = cameThrough(stays, 'B');
    expect(steps.map(({ survival }) => survival.estimate)).toEqual([near(1 / 2), near(225 / 1400)]);
    expect(cameThrough(stays, 'A').overall?.estimate).toBeCloseTo(1 / 4, 9);
  });

  it('has the limits of its count and of what was stocked, whatever was counted between', () => {
    const moves = [move('1', 'stock', { toTankId: 'T', number: 1000, low: 800, high: 1250 })];
    const after = [count('a', 'T', day(2), [900, 0.5]), count('b', 'T', day(4), [500, 0.1])];
    const last = cameThrough(seasonLedger({ moves, counts: after }).stays, 'A').steps.at(-1)?.survival;
    // on a log scale: root of ln(500/450)^2 + ln(1250/1000)^2
    const down = Math.exp(-Math.hypot(Math.log(500 / 450), Math.log(1.25)));
    const up = Math.exp(Math.hypot(Math.log(550 / 500), Math.log(1000 / 800)));
    expect(last).toEqual({ estimate: near(0.5), low: near(0.5 * down, 9), high: near(0.5 * up, 9) });
  });

  it('may begin at a time: the first count from then on stands for all', () => {
    const { steps } = cameThrough(seasonLedger({ moves: [stocked], counts }).stays, 'A', { from: day(6) });
    expect(steps.map(({ survival }) => survival.estimate)[0]).toBe(1);
    expect(steps.at(-1)?.survival.estimate).toBeCloseTo(1_760 / 41_600, 9);
    expect(steps.length).toBe(7);
  });

  it('has nothing to say of a batch that was not counted, or lost all at once', () => {
    expect(cameThrough(seasonLedger({ moves: [stocked], counts: [] }).stays, 'A')).toEqual({
      steps: [],
      overall: null,
    });
    const none = cameThrough(seasonLedger({ moves: [stocked], counts: [count('z', 'T', day(3), [0])] }).stays, 'A');
    expect(none.overall?.estimate).toBe(0);
  });
});
