import { describe, expect, it } from 'vitest';
import { measureOutline } from '../../../packages/imaging/src/measure/measure-outline.js';
import { boxPoints, cutDiscPoints, ellipsePoints, placed } from '../../support/polygon-shapes.js';

// A polygon of n corners inscribed in a circle has the area sin(t)/t and the perimeter sin(t/2)/(t/2) of the circle,
// t = 2 pi / n: for the 720 corners used here 1.3e-5 and 3.2e-6 too little. An affine map keeps the ratio of areas.
const AREA_LOSS = 1.3e-5;

describe('measureOutline of a disc of radius 20', () => {
  const measures = measureOutline(placed(ellipsePoints(20, 20), 1000, 700));

  it('has the area pi r^2, the diameter 2 r in every sense and the perimeter 2 pi r', () => {
    expect(measures.areaPx2 / (Math.PI * 400)).toBeCloseTo(1 - AREA_LOSS, 6);
    expect(measures.equivalentDiameterPx).toBeCloseTo(40, 3);
    expect(measures.feret.maxPx).toBeCloseTo(40, 3);
    // The least distance of opposite sides is 2 r cos(pi / 720).
    expect(measures.feret.minPx).toBeCloseTo(40 * Math.cos(Math.PI / 720), 9);
    expect(measures.perimeterPx / (40 * Math.PI)).toBeCloseTo(1, 5);
  });

  it('has its middle where it was put, r^2 / 4 for each second moment, and is round and solid', () => {
    expect(measures.x).toBeCloseTo(1000, 9);
    expect(measures.y).toBeCloseTo(700, 9);
    expect(measures.xx).toBeCloseTo(100, 2);
    expect(measures.yy).toBeCloseTo(100, 2);
    expect(measures.xy).toBeCloseTo(0, 9);
    expect(measures.circularity).toBeCloseTo(1, 4);
    expect(measures.solidity).toBeCloseTo(1, 12);
  });
});

it('measures an ellipse of half-axes 30 and 12 turned by 40 degrees', () => {
  const turn = (40 * Math.PI) / 180;
  const measures = measureOutline(placed(ellipsePoints(30, 12), 50, 60, turn));
  expect(measures.areaPx2 / (Math.PI * 360)).toBeCloseTo(1 - AREA_LOSS, 6);
  expect(measures.feret.maxPx).toBeCloseTo(60, 6);
  expect(measures.feret.maxAxisRad).toBeCloseTo(turn, 6);
  // The sides of the polygon next to the ends of the short axis lie inside by up to 24 (1 - cos(pi / 720)) = 2.3e-4.
  expect(Math.abs(measures.feret.minPx - 24)).toBeLessThan(2.3e-4);
  expect(measures.feret.minAxisRad).toBeCloseTo(turn + Math.PI / 2, 2);
  // Ramanujan's second formula for the perimeter, relative error far below 1e-6 at this ratio.
  const h = (18 / 42) ** 2;
  expect(measures.perimeterPx / (Math.PI * 42 * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h))))).toBeCloseTo(1, 5);
  // Moments a^2/4 and b^2/4 along the axes, turned.
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  expect(measures.xx).toBeCloseTo(225 * c * c + 36 * s * s, 1);
  expect(measures.xy).toBeCloseTo((225 - 36) * c * s, 1);
  expect(measures.yy).toBeCloseTo(225 * s * s + 36 * c * c, 1);
});

it('measures a rectangle of 8 x 6: diagonal 10, least width 6, moments w^2/12 and h^2/12', () => {
  const measures = measureOutline(placed(boxPoints(8, 6), 3, 4));
  expect(measures.areaPx2).toBeCloseTo(48, 12);
  expect(measures.perimeterPx).toBeCloseTo(28, 12);
  expect(measures.feret.maxPx).toBeCloseTo(10, 12);
  expect(measures.feret.minPx).toBeCloseTo(6, 12);
  expect(measures.feret.minAxisRad).toBeCloseTo(Math.PI / 2, 12);
  expect(measures.xx).toBeCloseTo(64 / 12, 12);
  expect(measures.yy).toBeCloseTo(36 / 12, 12);
  expect(measures.circularity).toBeCloseTo((4 * Math.PI * 48) / 784, 12);
});

it('gives a square the circularity pi / 4 and an L of three squares the solidity 6 / 7', () => {
  expect(measureOutline(placed(boxPoints(5, 5))).circularity).toBeCloseTo(Math.PI / 4, 12);
  const angle = placed([
    [0, 0],
    [2, 0],
    [2, 1],
    [1, 1],
    [1, 2],
    [0, 2],
  ]);
  // Area 3; the hull closes the corner with half a unit square: 3.5.
  expect(measureOutline(angle).solidity).toBeCloseTo(6 / 7, 12);
});

it('measures a disc with a straight side', () => {
  const measures = measureOutline(placed(cutDiscPoints(40, 20), 100, 100));
  // Circle less the segment beyond 20 = r / 2: half-angle 60 degrees, area r^2 (pi/3 - sqrt(3)/4).
  const area = 1600 * (Math.PI - Math.PI / 3 + Math.sqrt(3) / 4);
  expect(measures.areaPx2 / area).toBeCloseTo(1, 4);
  expect(measures.perimeterPx).toBeCloseTo((4 / 3) * Math.PI * 40 + 40 * Math.sqrt(3), 1);
  expect(measures.feret.minPx).toBeCloseTo(60, 2);
});

it('gives the same for either sense and any first point', () => {
  const outline = placed(cutDiscPoints(12, 5, 40), 7, 9, 0.3);
  const forth = measureOutline(outline);
  const back = new Float64Array(outline.length);
  for (let pos = 0; pos < outline.length; pos += 2) {
    back[pos] = outline[outline.length - 2 - pos];
    back[pos + 1] = outline[outline.length - 1 - pos];
  }
  const reversed = measureOutline(back);
  expect(reversed.areaPx2).toBeCloseTo(forth.areaPx2, 9);
  expect(reversed.x).toBeCloseTo(forth.x, 9);
  expect(reversed.feret.maxPx).toBeCloseTo(forth.feret.maxPx, 9);
});

describe('what encloses nothing', () => {
  it('has no area and no solidity, one point no extent', () => {
    const point = measureOutline(Float64Array.of(3, 4));
    expect([point.areaPx2, point.x, point.y, point.perimeterPx, point.feret.maxPx]).toEqual([0, 3, 4, 0, 0]);
    expect([point.solidity, point.circularity]).toEqual([0, 0]);
    expect(Number.isNaN(measureOutline(new Float64Array(0)).x)).toBe(true);
  });

  it('a line has its length as greatest Feret diameter and 0 as least', () => {
    const { feret, areaPx2, perimeterPx } = measureOutline(Float64Array.of(0, 0, 3, 4, 6, 8));
    expect([areaPx2, feret.maxPx, feret.minPx, perimeterPx]).toEqual([0, 10, 0, 20]);
  });
});
