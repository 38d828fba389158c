import { describe, expect, it } from 'vitest';
import { contains, overlap } from '../../../apps/cli/src/score/polygon.js';

const square = (left: number, top: number, side: number): [number, number][] => [
  [left, top],
  [left + side, top],
  [left + side, top + side],
  [left, top + side],
];

describe('overlap of outlines', () => {
  it('is 1 with itself and 0 apart', () => {
    expect(overlap(square(0, 0, 50), square(0, 0, 50))).toBe(1);
    expect(overlap(square(0, 0, 50), square(80, 0, 50))).toBe(0);
  });

  it('is the shared area over the joint area', () => {
    // half a square over; borders of a quarter pixel change the second decimal at most
    expect(overlap(square(0, 0, 100), square(50, 0, 100))).toBeCloseTo(1 / 3, 2);
    // a square in a square of twice the side: 1/4
    expect(overlap(square(0, 0, 100), square(20, 30, 50))).toBeCloseTo(1 / 4, 2);
  });
});

describe('a point', () => {
  it('is inside or outside, in a notch too', () => {
    const notched: [number, number][] = [
      [0, 0],
      [10, 0],
      [5, 5],
      [10, 10],
      [0, 10],
    ];
    expect(contains(notched, 3, 5)).toBe(true);
    expect(contains(notched, 8, 5)).toBe(false);
    expect(contains(notched, -1, 5)).toBe(false);
    expect(contains([], 0, 0)).toBe(false);
  });
});
