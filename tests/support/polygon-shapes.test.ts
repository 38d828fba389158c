import { expect, it } from 'vitest';
import { boxPoints, cutDiscPoints, ellipsePoints, placed } from './polygon-shapes.js';

it('places a box: turned by a quarter, its left top corner comes to the right top', () => {
  const outline = placed(boxPoints(4, 2), 10, 20, Math.PI / 2);
  [11, 18, 11, 22, 9, 22, 9, 18].forEach((value, pos) => {
    expect(outline[pos]).toBeCloseTo(value, 12);
  });
});

it('keeps the points of an ellipse on it', () => {
  for (const [x, y] of ellipsePoints(5, 3, 12)) expect((x / 5) ** 2 + (y / 3) ** 2).toBeCloseTo(1, 12);
});

it('begins and ends a cut disc at the ends of its straight side', () => {
  const points = cutDiscPoints(5, 3);
  expect(points[0]?.[0]).toBeCloseTo(4, 12);
  expect(points[0]?.[1]).toBeCloseTo(-3, 12);
  expect(points.at(-1)?.[0]).toBeCloseTo(-4, 12);
});
