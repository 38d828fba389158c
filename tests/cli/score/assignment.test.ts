import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assign } from '../../../apps/cli/src/score/assignment.js';

const total = (cost: number[][], columns: number[]): number =>
  columns.reduce((sum, column, row) => sum + (column < 0 ? 0 : (cost[row]?.[column] ?? NaN)), 0);

/** Least cost by trying every way. */
function least(cost: number[][], row = 0, used = new Set<number>()): number {
  if (row === cost.length) return 0;
  let best = Infinity;
  cost[row]?.forEach((value, column) => {
    if (used.has(column)) return;
    best = Math.min(best, value + least(cost, row + 1, new Set([...used, column])));
  });
  return best;
}

describe('assignment', () => {
  it('takes the worked example of a 3 x 3 table', () => {
    // rows 0, 1, 2 to columns 1, 0, 2: 1 + 2 + 2 = 5, as scipy.optimize.linear_sum_assignment documents it
    expect(
      assign([
        [4, 1, 3],
        [2, 0, 5],
        [3, 2, 2],
      ]),
    ).toEqual([1, 0, 2]);
  });

  it('leaves rows over when there are fewer columns', () => {
    expect(assign([[5], [1], [3]])).toEqual([-1, 0, -1]);
    expect(assign([])).toEqual([]);
    expect(assign([[], []])).toEqual([-1, -1]);
  });

  it('is never beaten by another', () => {
    const tables = fc.tuple(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 0, max: 2 })).chain(([rows, more]) =>
      fc.array(fc.array(fc.integer({ min: 0, max: 20 }), { minLength: rows + more, maxLength: rows + more }), {
        minLength: rows,
        maxLength: rows,
      }),
    );
    fc.assert(
      fc.property(tables, (cost) => {
        const columns = assign(cost);
        expect(new Set(columns).size).toBe(cost.length);
        expect(total(cost, columns)).toBe(least(cost));
      }),
      { seed: 7, numRuns: 200 },
    );
  });
});
