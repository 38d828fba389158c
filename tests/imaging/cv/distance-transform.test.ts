import { describe, expect, it } from 'vitest';
import { distanceTransform } from '../../../packages/imaging/src/cv/distance-transform.js';
import { maskFromText } from '../../support/mask-from-text.js';

describe('distanceTransform', () => {
  it('gives the straight distance to the one hole in a 5 x 4 plate', () => {
    const mask = maskFromText(`
      #####
      #.###
      #####
      #####
    `);
    const { data } = distanceTransform(mask);
    for (let row = 0; row < 4; row++) {
      for (let column = 0; column < 5; column++) {
        expect(data[row * 5 + column]).toBeCloseTo(Math.hypot(column - 1, row - 1), 5);
      }
    }
  });

  it('takes the nearest of several outside pixels', () => {
    expect([...distanceTransform(maskFromText('.####.')).data]).toEqual([0, 1, 2, 2, 1, 0]);
  });

  it('is 0 without inside pixels and Infinity without outside ones', () => {
    expect([...distanceTransform(maskFromText('...')).data]).toEqual([0, 0, 0]);
    expect([...distanceTransform(maskFromText('###')).data]).toEqual([Infinity, Infinity, Infinity]);
  });
});
