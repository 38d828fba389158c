import { expect, it } from 'vitest';
import { brighterThanAround } from './coins-mask.js';

it('keeps what is brighter than the mean of the square around it by more than asked', () => {
  // Means of 3 x 3 squares, cut off at the border: 10 for the corners' 2 x 2, less or more where 40 takes part.
  const data = Uint8Array.from([10, 10, 10, 10, 10, 10, 10, 40, 10, 10, 10, 10, 10, 10, 10]);
  const { data: mask } = brighterThanAround({ width: 5, height: 3, data }, 1, 6);
  // Mean about the bright pixel: (8 * 10 + 40) / 9 = 13.3.
  expect([...mask]).toEqual([0, 0, 0, 0, 0, 0, 0, 255, 0, 0, 0, 0, 0, 0, 0]);
  expect(brighterThanAround({ width: 5, height: 3, data }, 1, 27).data.includes(255)).toBe(false);
});
