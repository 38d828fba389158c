import { describe, expect, it } from 'vitest';
import { circleThrough, fitCircle } from '../../../packages/imaging/src/field/circle.js';

const onCircle = (x: number, y: number, radius: number, degrees: number[]): { xs: number[]; ys: number[] } => ({
  xs: degrees.map((degree) => x + radius * Math.cos((degree * Math.PI) / 180)),
  ys: degrees.map((degree) => y + radius * Math.sin((degree * Math.PI) / 180)),
});

const arc = (from: number, to: number): number[] => Array.from({ length: to - from }, (_, i) => from + i);

describe('a circle', () => {
  it('through three corners of a square is its own circle', () => {
    const points = { xs: [0, 2, 2], ys: [0, 0, 2] };
    expect(circleThrough(points, 0, 1, 2)).toEqual({ x: 1, y: 1, radius: Math.SQRT2 });
  });

  it('through three points of a line is none', () => {
    expect(circleThrough({ xs: [0, 1, 2], ys: [0, 1, 2] }, 0, 1, 2)).toBeNull();
  });

  it('is found from a quarter of it', () => {
    const fit = fitCircle(onCircle(100, 50, 40, arc(10, 100)), { x: 95, y: 55, radius: 36 });
    expect(fit.x).toBeCloseTo(100, 3);
    expect(fit.y).toBeCloseTo(50, 3);
    expect(fit.radius).toBeCloseTo(40, 3);
  });

  it('is not moved by a fifth of the points lying elsewhere', () => {
    const points = onCircle(100, 50, 40, arc(0, 360));
    const ghost = onCircle(103, 50, 43, arc(0, 90));
    const fit = fitCircle(
      { xs: [...points.xs, ...ghost.xs], ys: [...points.ys, ...ghost.ys] },
      { x: 101, y: 50, radius: 41 },
    );
    expect(Math.hypot(fit.x - 100, fit.y - 50)).toBeLessThan(0.05);
    expect(Math.abs(fit.radius - 40)).toBeLessThan(0.05);
  });

  it('with fewer than three points stays where it was', () => {
    const start = { x: 1, y: 2, radius: 3 };
    expect(fitCircle({ xs: [0, 1], ys: [0, 1] }, start)).toEqual(start);
  });
});
