import { describe, expect, it } from 'vitest';
import { straightEdge } from '../../../packages/imaging/src/measure/straight-edge.js';
import { boxPoints, cutDiscPoints, ellipsePoints, placed } from '../../support/polygon-shapes.js';

describe('straightEdge', () => {
  it.each([0, 0.4, 1.3, 2.9])('finds the straight side of a cut disc turned by %f', (turn) => {
    // Radius 40, side at 24 above the middle: 64 long, its middle 24 away.
    const edge = straightEdge(placed(cutDiscPoints(40, 24), 100, 80, turn), 80);
    const axis = Math.abs(Math.sin((edge?.axisRad ?? NaN) - turn));
    expect(axis).toBeLessThan(0.02);
    // Steps of the outline are 1/128 of 244 px; a run may go on round the corners by two of them.
    expect(Math.abs((edge?.lengthPx ?? NaN) - 64)).toBeLessThan(4);
    expect(
      Math.hypot((edge?.x ?? NaN) - 100 - 24 * Math.sin(turn), (edge?.y ?? NaN) - 80 + 24 * Math.cos(turn)),
    ).toBeLessThan(1.5);
  });

  it('finds none on a disc or a plump ellipse', () => {
    expect(straightEdge(placed(ellipsePoints(30, 30), 50, 50), 60)).toBeNull();
    expect(straightEdge(placed(ellipsePoints(30, 24), 50, 50), 60)).toBeNull();
  });

  it('takes the longer side of a rectangle, or the one near the wanted direction', () => {
    const outline = placed(boxPoints(60, 40), 100, 100);
    const longest = straightEdge(outline, Math.hypot(60, 40));
    expect(Math.sin(longest?.axisRad ?? NaN)).toBeCloseTo(0, 1);
    const upright = straightEdge(outline, Math.hypot(60, 40), { aboutRad: 1.5 });
    expect(Math.cos(upright?.axisRad ?? NaN)).toBeCloseTo(0, 1);
    expect(straightEdge(outline, Math.hypot(60, 40), { aboutRad: 0.8 })).toBeNull();
  });

  it('does not take an edge that is too short', () => {
    const outline = placed(cutDiscPoints(40, 24), 100, 80);
    expect(straightEdge(outline, 80, { shortest: 0.95 })).toBeNull();
  });
});
