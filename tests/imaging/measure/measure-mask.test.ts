import { describe, expect, it } from 'vitest';
import { measureMask } from '../../../packages/imaging/src/measure/measure-mask.js';
import { maskFromText } from '../../support/mask-from-text.js';
import { seededRandom } from '../../support/seeded-random.js';
import { softDiscLevels } from '../../support/soft-disc.js';

describe('measureMask of small drawings', () => {
  it('finds nothing in an empty mask', () => {
    expect(measureMask({ width: 4, height: 3, data: new Uint8Array(12) })).toEqual([]);
  });

  it('keeps the area of one pixel (to 1 %) and its place', () => {
    const [patch] = measureMask(maskFromText('...\n.#.\n...'));
    expect(patch.pixels).toBe(1);
    expect(Math.abs(patch.measures.areaPx2 - 1)).toBeLessThan(0.01);
    expect([patch.measures.x, patch.measures.y]).toEqual([1, 1]);
  });

  it('keeps patches apart, joins corners, fills holes, and goes by the first pixel', () => {
    const patches = measureMask(
      maskFromText(`
        ......##
        .####.##
        .#..#...
        .#..#.#.
        .####..#
        ........
      `),
    );
    // The pair of pixels that meet at a corner is one patch; the ring's hole of 4 is filled.
    expect(patches.map(({ pixels }) => pixels)).toEqual([4, 12, 2]);
    expect(patches.map(({ measures }) => Math.round(100 * measures.areaPx2) / 100)).toEqual([4, 16, 2]);
    expect(patches.map(({ measures: { x, y } }) => [Math.round(1e6 * x) / 1e6, Math.round(1e6 * y) / 1e6])).toEqual([
      [6.5, 0.5],
      [2.5, 2.5],
      [6.5, 3.5],
    ]);
  });

  it('takes patches that reach the border, and a full mask', () => {
    const [patch] = measureMask({ width: 30, height: 20, data: new Uint8Array(600).fill(255) });
    expect(patch.measures.areaPx2).toBeCloseTo(600, 4);
    expect([patch.measures.x, patch.measures.y]).toEqual([expect.closeTo(14.5, 6), expect.closeTo(9.5, 6)]);
  });

  it('takes any value but 0 for inside when there is only one', () => {
    const mask = maskFromText('....\n.##.\n....');
    const dim = { ...mask, data: mask.data.map((value) => value && 7) };
    expect(measureMask(dim)).toEqual(measureMask(mask));
  });

  it('runs clockwise on the screen', () => {
    const { outline } = measureMask(maskFromText('....\n.##.\n.##.\n....'))[0];
    let twice = 0;
    for (let pos = 0; pos < outline.length; pos += 2) {
      const next = (pos + 2) % outline.length;
      twice += outline[pos] * outline[next + 1] - outline[next] * outline[pos + 1];
    }
    expect(twice).toBeGreaterThan(0);
  });
});

interface Bias {
  readonly area: number;
  readonly perimeter: number;
  readonly maxFeret: number;
  readonly minFeret: number;
}

/** Mean relative errors of area and perimeter and mean errors of the Feret diameters in px over discs laid anywhere. */
function biasOfDiscs(diameter: number, sigma: number, levels: (value: number) => number): Bias {
  const random = seededRandom(diameter);
  const size = diameter + 20;
  const sum = { area: 0, perimeter: 0, maxFeret: 0, minFeret: 0 };
  const count = 60;
  for (let k = 0; k < count; k++) {
    const [x, y] = [size / 2 + random(), size / 2 + random()];
    const data = softDiscLevels({ size, x, y, radius: diameter / 2, ground: 0, inside: 255, sigma }).map(levels);
    const { areaPx2, perimeterPx, feret } = measureMask({ width: size, height: size, data })[0].measures;
    sum.area += areaPx2 / ((Math.PI * diameter * diameter) / 4) - 1;
    sum.perimeter += perimeterPx / (Math.PI * diameter) - 1;
    sum.maxFeret += feret.maxPx - diameter;
    sum.minFeret += feret.minPx - diameter;
  }
  return {
    area: sum.area / count,
    perimeter: sum.perimeter / count,
    maxFeret: sum.maxFeret / count,
    minFeret: sum.minFeret / count,
  };
}

describe('measureMask of discs laid anywhere between the pixels', () => {
  // Number of lattice points in a disc: standard deviation below 0.7 sqrt(r) (seen here and on the ISO discs), so the mean
  // of 60 has 0.09 sqrt(r); limits are four of them. The staircase of pixels alone would make the perimeter 5.5 % long.
  it.each([15, 30, 60, 90])('two levels, %i px', (diameter) => {
    const bias = biasOfDiscs(diameter, 0.01, (value) => (value >= 128 ? 255 : 0));
    expect(Math.abs(bias.area)).toBeLessThan(
      (4 * 0.09 * Math.sqrt(diameter / 2)) / ((Math.PI * diameter * diameter) / 4),
    );
    expect(Math.abs(bias.perimeter)).toBeLessThan(0.005);
    expect(Math.abs(bias.maxFeret)).toBeLessThan(0.55);
    expect(Math.abs(bias.minFeret)).toBeLessThan(0.45);
  });

  // Cutting an edge at half height is exact for straight ones. A curved one blurred with sigma moves in by sigma^2 / (2 r),
  // and chords of 1 px lie 1 / (8 r) inside the arc at most.
  it.each([15, 30, 60, 90])('grey levels, %i px', (diameter) => {
    const sigma = 0.8;
    const inwards = (sigma * sigma) / diameter + 1 / (4 * diameter);
    const bias = biasOfDiscs(diameter, sigma, (value) => value);
    expect(Math.abs(bias.area)).toBeLessThan((2 * 2 * inwards) / diameter + 0.0005);
    expect(Math.abs(bias.perimeter)).toBeLessThan((2 * inwards) / diameter + 0.001);
    expect(Math.abs(bias.maxFeret)).toBeLessThan(0.1);
    expect(Math.abs(bias.minFeret)).toBeLessThan(0.1 + 2 * inwards);
  });
});
