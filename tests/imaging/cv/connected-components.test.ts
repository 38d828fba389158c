import { describe, expect, it } from 'vitest';
import { connectedComponents } from '../../../packages/imaging/src/cv/connected-components.js';
import { maskFromText } from '../../support/mask-from-text.js';

const mask = maskFromText(`
  ##...
  ##..#
  ..#.#
  .....
`);

describe('connectedComponents', () => {
  it('joins a 2 x 2 square and the pixel at its corner when corners count', () => {
    const found = connectedComponents(mask);
    expect(found.count).toBe(2);
    expect([...found.labels]).toEqual([1, 1, 0, 0, 0, 1, 1, 0, 0, 2, 0, 0, 1, 0, 2, 0, 0, 0, 0, 0]);
    expect([...found.areas]).toEqual([13, 5, 2]);
    expect([...found.boxes.subarray(4)]).toEqual([0, 0, 3, 3, 4, 1, 1, 2]);
    // Means of x (0, 1, 0, 1, 2) and of y (0, 0, 1, 1, 2); the pair at x = 4 has y 1 and 2.
    expect([...found.centroids.subarray(2)]).toEqual([0.8, 0.8, 4, 1.5]);
  });

  it('keeps them apart when only edges count', () => {
    const found = connectedComponents(mask, { connectivity: 4 });
    expect([...found.areas]).toEqual([13, 4, 2, 1]);
  });

  it('finds nothing in an empty mask and one patch in a full one', () => {
    expect(connectedComponents({ width: 3, height: 2, data: new Uint8Array(6) }).count).toBe(0);
    const full = connectedComponents({ width: 3, height: 2, data: new Uint8Array(6).fill(255) });
    expect([full.count, ...full.areas]).toEqual([1, 0, 6]);
  });

  it('refuses data of another length than its sides say', () => {
    expect(() => connectedComponents({ width: 3, height: 2, data: new Uint8Array(5) })).toThrow(
      'Expected mask.data to be 6 numbers long, but got 5',
    );
    expect(() => connectedComponents({ width: 0, height: 2, data: new Uint8Array(0) })).toThrow(
      'Expected the size of mask to be two whole numbers of 1 or more, but got "0 x 2"',
    );
  });
});
