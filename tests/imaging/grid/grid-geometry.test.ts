import { describe, expect, it } from 'vitest';
import { fitGeometry, type NumberedLine } from '../../../packages/imaging/src/grid/fit-geometry.js';
import {
  gridToPx,
  meanPitchesPerPx,
  pxToGrid,
  type GridGeometry,
} from '../../../packages/imaging/src/grid/grid-geometry.js';
import { normalFrom, seededRandom } from '../../support/seeded-random.js';

const width = 3000;
const height = 2000;
const plain: GridGeometry = {
  centrePx: [1499.5, 999.5],
  radiusPx: Math.hypot(width, height) / 2,
  a: 3.6,
  b: 0,
  u0: 0.25,
  v0: -0.4,
  tiltX: 0,
  tiltY: 0,
  k1: 0,
  stretch: 0,
};
const bent: GridGeometry = { ...plain, b: 1.2, tiltX: 0.03, tiltY: -0.02, k1: 0.015 };

describe('pxToGrid and gridToPx', () => {
  it('are a plain scale about the middle without tilt and barrel', () => {
    const pitchPx = plain.radiusPx / 3.6;
    const [u, v] = pxToGrid(plain, 1499.5 + 2 * pitchPx, 999.5 - pitchPx);
    expect(u).toBeCloseTo(2.25, 12);
    expect(v).toBeCloseTo(-1.4, 12);
  });

  it('undo each other within 1e-6 px', () => {
    for (const [x, y] of [
      [0, 0],
      [2999, 0],
      [1234.5, 987.6],
      [0, 1999],
    ] as const) {
      const [backX, backY] = gridToPx(bent, ...pxToGrid(bent, x, y));
      expect(Math.hypot(backX - x, backY - y)).toBeLessThan(1e-6);
    }
  });

  it('keep straight lines straight under tilt alone', () => {
    const tilted = { ...bent, k1: 0 };
    const [x0, y0] = gridToPx(tilted, 1, -1);
    const [x1, y1] = gridToPx(tilted, 1, 0.3);
    const [x2, y2] = gridToPx(tilted, 1, 1);
    // area of the triangle of three points of one line
    expect(Math.abs((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0))).toBeLessThan(1e-6);
  });

  it('has the pitch of the similarity when nothing is bent', () => {
    expect(meanPitchesPerPx(plain, width, height)).toBeCloseTo(3.6 / plain.radiusPx, 12);
  });
});

/** Points every 40 px along the lines of a geometry, moved at random by a Gaussian of the given deviation. */
function linesOf(geometry: GridGeometry, numbers: readonly number[], deviation: number, seed: number): NumberedLine[] {
  const gauss = normalFrom(seededRandom(seed));
  return [true, false].flatMap((first) =>
    numbers.map((number) => {
      const points: number[] = [];
      for (let other = -3; other <= 3; other += 0.08) {
        const [x, y] = first ? gridToPx(geometry, number, other) : gridToPx(geometry, other, number);
        if (x < 0 || y < 0 || x > width - 1 || y > height - 1) continue;
        points.push(x + deviation * gauss(), y + deviation * gauss());
      }
      return { first, number, points: Float64Array.from(points) };
    }),
  );
}

describe('fitGeometry', () => {
  const frame = { width, height, factor: 3 };
  const start = { a: 3.4 / bent.radiusPx, b: 1 / bent.radiusPx };
  const truePitch = 1 / meanPitchesPerPx(bent, width, height);

  it('recovers turn, tilt and barrel from exact points', () => {
    const fit = fitGeometry(linesOf(bent, [-2, -1, 0, 1, 2], 0, 1), start, frame);
    expect(fit).not.toBeNull();
    if (fit === null) return;
    expect(fit.residualRmsPx).toBeLessThan(0.05);
    expect(fit.geometry.tiltX).toBeCloseTo(0.03, 3);
    expect(fit.geometry.tiltY).toBeCloseTo(-0.02, 3);
    expect(fit.geometry.k1).toBeCloseTo(0.015, 3);
    // a point is granted 0.1 working pixels, 0.3 px, at the least: over half the width, 0.3 / 1500; the priors pull by less
    const error = 1 / meanPitchesPerPx(fit.geometry, width, height) / truePitch - 1;
    expect(fit.relativeStandardUncertainty).toBeLessThan(0.3 / 1500);
    expect(Math.abs(error)).toBeLessThan(fit.relativeStandardUncertainty);
  });

  it('is not moved by one line of a wrong number', () => {
    const lines = linesOf(bent, [-2, -1, 0, 1, 2], 0.5, 2);
    const wrong = lines.map((line, i) =>
      i === 3 ? { ...line, points: line.points.map((value) => value + 60) } : line,
    );
    const fit = fitGeometry(wrong, start, frame);
    expect(fit === null ? NaN : 1 / meanPitchesPerPx(fit.geometry, width, height) / truePitch).toBeCloseTo(1, 3);
    expect(fit?.keptShare).toBeLessThan(0.97);
  });

  it('states an uncertainty that the true error rarely exceeds twice', () => {
    let beyond = 0;
    for (let seed = 0; seed < 30; seed++) {
      const fit = fitGeometry(linesOf(bent, [-1, 0, 1], 1.5, seed), start, frame);
      if (fit === null) throw new Error('no fit');
      const error = 1 / meanPitchesPerPx(fit.geometry, width, height) / truePitch - 1;
      expect(fit.relativeStandardUncertainty).toBeLessThan(0.005);
      if (Math.abs(error) > 2 * fit.relativeStandardUncertainty) beyond++;
    }
    // 5 % are expected of a Gaussian; 5 of 30 or more have a chance below 2 %
    expect(beyond).toBeLessThanOrEqual(4);
  });
});
