import { expect, it } from 'vitest';
import { convexHull } from '../../../packages/imaging/src/measure/convex-hull.js';

it('leaves out points inside and on straight sides, clockwise from the leftmost', () => {
  const outline = Float64Array.of(2, 0, 4, 0, 4, 2, 4, 4, 2, 2, 0, 4, 0, 0);
  expect([...convexHull(outline)]).toEqual([0, 0, 4, 0, 4, 4, 0, 4]);
});

it('keeps one point of many equal ones, and both ends of a line', () => {
  expect([...convexHull(Float64Array.of(1, 2, 1, 2, 1, 2))]).toEqual([1, 2]);
  expect([...convexHull(Float64Array.of(1, 1, 3, 3, 2, 2))]).toEqual([1, 1, 3, 3]);
  expect(convexHull(new Float64Array(0))).toHaveLength(0);
});

it('takes an outline that crosses itself', () => {
  expect([...convexHull(Float64Array.of(0, 0, 2, 2, 2, 0, 0, 2))]).toEqual([0, 0, 2, 0, 2, 2, 0, 2]);
});
