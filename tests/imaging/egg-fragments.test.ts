import { describe, expect, it } from 'vitest';
import { eggFragments } from '../../packages/imaging/src/egg-fragments.js';
import type { Found } from '../../packages/imaging/src/found.js';
import type { MeasuredObject } from '../../packages/imaging/src/measure/measure-object.js';

const found = (kind: Found['kind'], score = 0.9): Found => ({ kind, score }) as Found;
const measured = (equivalentDiameterPx: number, flags: MeasuredObject['flags'] = []): MeasuredObject =>
  ({ equivalentDiameterPx, flags }) as MeasuredObject;
const EGGS = [48, 50, 50, 51, 52];

describe('eggFragments', () => {
  const withEggs = (kind: Found['kind'], one: MeasuredObject): boolean | undefined =>
    eggFragments(
      [...EGGS.map(() => found('egg-or-embryo')), found(kind)],
      [...EGGS.map((d) => measured(d)), one],
      null,
    ).at(-1);

  it('takes what is less than half as wide as the middle egg for a piece', () => {
    expect(withEggs('egg-or-embryo', measured(24))).toBe(true);
    expect(withEggs('egg-or-embryo', measured(26))).toBe(false);
  });

  it('says nothing of larvae, nor of eggs cut by the edge', () => {
    expect(withEggs('shelled-larva', measured(24))).toBe(false);
    expect(withEggs('egg-or-embryo', measured(24, ['cut']))).toBe(false);
  });

  it('says nothing with four eggs', () => {
    const four = EGGS.slice(0, 3);
    const all = [...four.map((d) => measured(d)), measured(10)];
    expect(eggFragments([...four.map(() => found('egg-or-embryo')), found('egg-or-embryo')], all, null)).toEqual(
      Array.from({ length: 4 }, () => false),
    );
  });

  it('takes what would be under 30 um for a speck when the scale is known, even alone', () => {
    const one = [found('egg-or-embryo')];
    expect(eggFragments(one, [measured(29)], 1)).toEqual([true]);
    expect(eggFragments(one, [measured(31)], 1)).toEqual([false]);
    expect(eggFragments(one, [measured(29)], 1.1)).toEqual([false]);
    expect(eggFragments([found('shelled-larva')], [measured(29)], 1)).toEqual([false]);
  });
});
