import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { CountingRule, Field } from '@veligrid/model';
import { countedArea, type AreaObject, type AreaScene } from '../../../packages/imaging/src/area/counted-area.js';
import { twoSidesSquare } from '../../../packages/imaging/src/area/two-sides.js';
import { measureOutline } from '../../../packages/imaging/src/measure/measure-outline.js';
import { seededRandom } from '../../support/seeded-random.js';

/** Disc as an outline of 32 corners. */
function disc(x: number, y: number, radius: number): Float64Array {
  const outline = new Float64Array(64);
  for (let k = 0; k < 32; k++) {
    outline[2 * k] = x + radius * Math.cos((Math.PI * (k + 0.5)) / 16);
    outline[2 * k + 1] = y + radius * Math.sin((Math.PI * (k + 0.5)) / 16);
  }
  return outline;
}

const frame: Field = { kind: 'frame', ground: 'light' };

/** Outlines of drawn larvae in micrometres about their centroids. */
function drawnShapes(): Float64Array[] {
  return ['mixed_01', 'eyed_05', 'early_03'].flatMap((name) => {
    const url = new URL(`../../../sample-images/truth/${name}.json`, import.meta.url);
    const truth = JSON.parse(readFileSync(url, 'utf8')) as {
      um_per_px: number;
      objects: { polygon: [number, number][]; cut_by_frame: boolean }[];
    };
    return truth.objects
      .filter((one) => !one.cut_by_frame)
      .slice(0, 40)
      .map(({ polygon }) => {
        const outline = Float64Array.from(polygon.flat());
        const { x, y } = measureOutline(outline);
        return outline.map((value, k) => (value - (k % 2 === 0 ? x : y)) * truth.um_per_px);
      });
  });
}

/** Larvae of drawn shapes thrown over a plane, 2 um a pixel, and looked at through frames of 1200 x 900 px. */
function simulate(rule: CountingRule, field: Field, seed: number): Record<'rule' | 'touching' | 'whole', number> {
  const random = seededRandom(seed);
  const shapes = drawnShapes();
  const [width, height] = [1200, 900];
  const umPerPx = 2;
  const around = 200;
  const plane = (width + 2 * around) * (height + 2 * around);
  const perFrame = 150;
  const sums = { count: 0, mm2: 0, touching: 0, whole: 0 };
  const frames = 700;
  for (let f = 0; f < frames; f++) {
    const seen: AreaObject[] = [];
    for (let k = 0; k < perFrame; k++) {
      // spread evenly in one direction, which takes most of the chance out of the sums
      const x = ((k + random()) / perFrame) * (width + 2 * around) - around;
      const y = random() * (height + 2 * around) - around;
      const turn = random() * 2 * Math.PI;
      const shape = shapes[Math.floor(random() * shapes.length)];
      const outline = new Float64Array(shape.length);
      for (let pos = 0; pos < shape.length; pos += 2) {
        outline[pos] = x + (shape[pos] * Math.cos(turn) - shape[pos + 1] * Math.sin(turn)) / umPerPx;
        outline[pos + 1] = y + (shape[pos] * Math.sin(turn) + shape[pos + 1] * Math.cos(turn)) / umPerPx;
      }
      const inFrame = [...outline].map((value, at) => value >= 0.25 && value <= (at % 2 === 0 ? width : height) - 1.25);
      const points = inFrame.filter((_, at) => at % 2 === 0).map((inside, at) => inside && inFrame[2 * at + 1]);
      if (!points.some((inside) => inside)) continue;
      sums.touching++;
      if (points.every((inside) => inside)) {
        sums.whole++;
        seen.push({ x, y, outline });
      } else {
        // what a photo shows of it
        const cut = outline.map((value, at) => Math.min((at % 2 === 0 ? width : height) - 1, Math.max(0, value)));
        seen.push({ ...measureOutline(cut), outline: cut });
      }
    }
    const scene: AreaScene = { width, height, field, umPerPx, squares: null };
    const area = countedArea(scene, seen, { rule });
    sums.count += seen.filter((one) => area.holds(one)).length;
    sums.mm2 += area.counting.areaMm2 ?? Number.NaN;
  }
  const density = perFrame / plane;
  const usable = (width - 1.5) * (height - 1.5);
  return {
    rule: sums.count / ((sums.mm2 * 1e6) / umPerPx ** 2) / density,
    touching: sums.touching / frames / usable / density,
    whole: sums.whole / frames / usable / density,
  };
}

describe('counting rules on larvae of drawn shapes', () => {
  it.each(['centroid', 'two-sides'] as const)(
    '%s: unbiased within half a percent',
    (rule) => {
      const ratios = simulate(rule, frame, 11);
      expect(Math.abs(ratios.rule - 1)).toBeLessThan(0.005);
      // what the rule is good for
      expect(ratios.touching).toBeGreaterThan(1.05);
      expect(ratios.whole).toBeLessThan(0.95);
    },
    30_000,
  );

  it('centroid in a round field: unbiased within 0.5 %', () => {
    const round: Field = { kind: 'round', ground: 'light', centrePx: [600, 450], radiusPx: 520 };
    expect(Math.abs(simulate('centroid', round, 12).rule - 1)).toBeLessThan(0.005);
  }, 30_000);
});

const isWithin = (x: number, y: number, from: number, to: number): boolean =>
  x >= from && y >= from && x < to && y < to;

describe('counting rules on square objects in a 1 mm square', () => {
  // by hand: what touches has its middle in (1 + d)^2, what is whole in (1 - d)^2
  it.each([
    [0.05, 1.1025, 0.9025],
    [0.075, 1.1556, 0.8556],
    [0.15, 1.3225, 0.7225],
    [0.3, 1.69, 0.49],
  ])('objects of %d mm: touching %d, whole %d, by either rule 1', (d, touching, whole) => {
    const steps = 400;
    const reach = 0.5;
    const cell = (1 + 2 * reach) / steps;
    const sums = { touching: 0, whole: 0, sides: 0, centroid: 0 };
    for (let row = 0; row < steps; row++) {
      for (let column = 0; column < steps; column++) {
        const [x, y] = [(column + 0.37) * cell - reach, (row + 0.61) * cell - reach];
        const half = d / 2;
        const box = Float64Array.of(x - half, y - half, x + half, y - half, x + half, y + half, x - half, y + half);
        if (isWithin(x, y, -half, 1 + half)) sums.touching++;
        if (isWithin(x, y, half, 1 - half)) sums.whole++;
        if (isWithin(x, y, 0, 1)) sums.centroid++;
        const square = twoSidesSquare(box);
        if (square?.[0] === 0 && square[1] === 0) sums.sides++;
      }
    }
    const share = (count: number): number => count * cell ** 2;
    expect(Math.abs(share(sums.touching) / touching - 1)).toBeLessThan(0.01);
    expect(Math.abs(share(sums.whole) / whole - 1)).toBeLessThan(0.01);
    expect(Math.abs(share(sums.sides) - 1)).toBeLessThan(0.005);
    expect(Math.abs(share(sums.centroid) - 1)).toBeLessThan(0.005);
  });
});

describe('the rule of two sides', () => {
  it('gives every object to exactly one square, whatever its size and place', () => {
    const random = seededRandom(5);
    for (let round = 0; round < 2000; round++) {
      const outline = disc(random() * 3, random() * 3, 0.02 + 0.45 * random());
      expect(twoSidesSquare(outline)).not.toBeNull();
    }
  });

  it('moves with the squares: an object one square on belongs one square on', () => {
    const random = seededRandom(6);
    for (let round = 0; round < 500; round++) {
      const [x, y, radius] = [random(), random(), 0.3 * random() + 0.01];
      const [column, row] = twoSidesSquare(disc(x, y, radius)) ?? [NaN, NaN];
      expect(twoSidesSquare(disc(x + 2, y - 3, radius))).toEqual([column + 2, row - 3]);
    }
  });

  it('leaves out what touches left or top, takes what touches right or bottom', () => {
    expect(twoSidesSquare(disc(0, 0.5, 0.1))).toEqual([-1, 0]);
    expect(twoSidesSquare(disc(0.5, 0, 0.1))).toEqual([0, -1]);
    expect(twoSidesSquare(disc(1, 0.5, 0.1))).toEqual([0, 0]);
    expect(twoSidesSquare(disc(0.5, 1, 0.1))).toEqual([0, 0]);
    // on a corner of four squares only one has it
    expect(twoSidesSquare(disc(1, 1, 0.1))).toEqual([0, 0]);
    // near the corner, touching the side but not its prolongation
    expect(twoSidesSquare(disc(0.95, 0.03, 0.05))).toEqual([0, -1]);
  });
});
