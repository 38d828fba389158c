import { describe, expect, it } from 'vitest';
import { estimateCount } from '@veligrid/estimation';
import { concentrationOf, edgeBias, fieldsVolumeMl, squaresVolumeMl } from '../../packages/estimation/src/volumes.js';
import { exact, subsamplesOf } from './support.js';

const perMl = (count: number, volumeMl: number): number =>
  estimateCount(exact(subsamplesOf([count], volumeMl))).densityPerMl.estimate;

describe('counted volume', () => {
  it('CV-16: 120 in 40 squares of a Sedgwick-Rafter cell are 3000 per mL (Barsanti and Gualtieri 2006, eq. 6.2)', () => {
    expect(perMl(120, squaresVolumeMl(40))).toBeCloseTo(3000, 8);
    expect(perMl(120, fieldsVolumeMl({ kind: 'frame', widthMm: 1, heightMm: 1 }, 1, 40))).toBeCloseTo(3000, 8);
    expect(squaresVolumeMl(1000)).toBe(1);
  });
  it('CV-17: 180 in 4 strips of 50 x 1 mm are 900 per mL (eq. 6.3)', () => {
    expect(perMl(180, fieldsVolumeMl({ kind: 'frame', widthMm: 50, heightMm: 1 }, 1, 4))).toBeCloseTo(900, 8);
  });
  it('CV-18: 39 cells in 9 haemocytometer squares are 4.333 each, 43,333 per mL (plus.maths.org)', () => {
    const square = squaresVolumeMl(1, { depthMm: 0.1 });
    expect(perMl(39, squaresVolumeMl(9, { depthMm: 0.1 })) * square).toBeCloseTo(4.333, 3);
    expect(Math.round(perMl(39, squaresVolumeMl(9, { depthMm: 0.1 })))).toBe(43_333);
  });
  it('CV-18: 20 uL made up to 22 is a factor of 1.1; 5 uL made up to 55 is 11 (public cell counting protocol)', () => {
    expect(1 / concentrationOf([{ takenMl: 0.02, madeUpToMl: 0.022 }])).toBeCloseTo(1.1, 12);
    expect(1 / concentrationOf([{ takenMl: 0.005, madeUpToMl: 0.055 }])).toBeCloseTo(11, 12);
  });
  it('made up to less is a concentration, and steps multiply', () => {
    expect(concentrationOf([{ takenMl: 1000, madeUpToMl: 50 }])).toBe(20);
    expect(
      concentrationOf([
        { takenMl: 1000, madeUpToMl: 50 },
        { takenMl: 1, madeUpToMl: 10 },
      ]),
    ).toBeCloseTo(2, 12);
  });
  it('a round field of 2 mm at 1 mm depth is pi uL', () => {
    expect(fieldsVolumeMl({ kind: 'round', diameterMm: 2 }, 1)).toBeCloseTo(Math.PI / 1000, 14);
  });
  it('a cell that is 5 % deeper holds 5 % more', () => {
    expect(squaresVolumeMl(40, { depthMm: 1.05 })).toBeCloseTo(0.042, 12);
  });
  it.each([
    [() => squaresVolumeMl(0), 'Expected squares to be a whole number of 1 or more, but got 0'],
    [() => squaresVolumeMl(1, { depthMm: 0 }), 'Expected depthMm to be a number above 0, but got 0'],
    [() => concentrationOf([{ takenMl: 1, madeUpToMl: 0 }]), 'Expected madeUpToMl of step 1 to be a number above 0'],
    [
      () => fieldsVolumeMl({ kind: 'round', diameterMm: 0 }, 1),
      'Expected the area of the field to be a number above 0',
    ],
    [() => fieldsVolumeMl({ kind: 'round', diameterMm: 1 }, 1, 0.5), 'Expected fields to be a whole number'],
  ])('refuses %#', (call, message) => {
    expect(call).toThrow(message);
  });
});

describe('CV-19: edges handled wrongly, 1 mm square (derived: (1 + d)^2 and (1 - d)^2)', () => {
  it.each([
    [0.05, 1.1025, 0.9025, 0.9965],
    [0.075, 1.1556, 0.8556, 0.9948],
    [0.15, 1.3225, 0.7225, 0.9895],
    [0.3, 1.69, 0.49, 0.9791],
  ])('objects of %f mm', (d, all, whole, wholeCell) => {
    const square = edgeBias(d, { width: 1, height: 1 });
    expect(square.allTouching).toBeCloseTo(all, 4);
    expect(square.onlyWhole).toBeCloseTo(whole, 4);
    expect(edgeBias(d, { width: 50, height: 20 }).onlyWhole).toBeCloseTo(wholeCell, 4);
  });
});
