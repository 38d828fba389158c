import { describe, expect, it } from 'vitest';
import type { Square } from '@veligrid/model';
import { countedArea, type AreaObject, type AreaScene } from '../../../packages/imaging/src/area/counted-area.js';
import { inclusionWeight } from '../../../packages/imaging/src/area/inclusion-weight.js';
import { inRegion, regionArea, shrunkRegion, usableRegion } from '../../../packages/imaging/src/area/usable-region.js';
import { isCut } from '../../../packages/imaging/src/measure/is-cut.js';
import { seededRandom } from '../../support/seeded-random.js';

const box = (x: number, y: number, width: number, height: number): Float64Array =>
  Float64Array.of(x, y, x + width, y, x + width, y + height, x, y + height);
const object = (x: number, y: number, side: number): AreaObject => ({
  x,
  y,
  outline: box(x - side / 2, y - side / 2, side, side),
});
const frame: AreaScene = {
  width: 1003,
  height: 803,
  field: { kind: 'frame', ground: 'light' },
  umPerPx: 2,
  squares: null,
};

/** Squares of 200 px from (50, 50), four by three, named as a grid names them. */
function squares(): NonNullable<AreaScene['squares']> {
  const at = (column: number, row: number): [number, number] => [50 + 200 * column, 50 + 200 * row];
  const whole: Square[] = [];
  for (let row = 0; row < 3; row++) {
    for (let column = 0; column < 4; column++) {
      const cornersPx = [at(column, row), at(column + 1, row), at(column + 1, row + 1), at(column, row + 1)];
      whole.push({ name: `${'ABCD'.charAt(column)}${String(row + 1)}`, cornersPx });
    }
  }
  const toGrid = (x: number, y: number): [number, number] => [(x - 50) / 200, (y - 50) / 200];
  const nameAt = (x: number, y: number): string | null => {
    const [u, v] = toGrid(x, y);
    if (u < 0 || v < 0 || u >= 4 || v >= 3) return null;
    return `${'ABCD'.charAt(Math.floor(u))}${String(Math.floor(v) + 1)}`;
  };
  return { pitchUm: 400, whole, toGrid, nameAt };
}

describe('the counted area', () => {
  it('is the frame less a rim as wide as the largest object reaches from its centroid', () => {
    const { counting, holds } = countedArea(frame, [object(500, 400, 100), object(300, 300, 40)]);
    // half diagonal of 100 px and 5 % more: 74.2, rounded up; usable are 0.25 to 1001.75 and 0.25 to 801.75
    expect(counting).toEqual({
      rule: 'centroid',
      shape: { kind: 'field', boxPx: [75.25, 75.25, 926.75, 726.75] },
      areaMm2: (851.5 * 651.5 * 4) / 1e6,
      marginPx: 75,
    });
    expect(holds(object(75.3, 400, 10))).toBe(true);
    expect(holds(object(75.2, 400, 10))).toBe(false);
  });

  it('keeps half a small larva when it sees none', () => {
    expect(countedArea(frame, []).counting.marginPx).toBe(Math.ceil(1.05 * 22.5));
    expect(countedArea({ ...frame, umPerPx: null }, []).counting).toMatchObject({ marginPx: 0, areaMm2: null });
  });

  it('holds nothing and is of no size when the objects are too large for the photo', () => {
    const { counting, holds } = countedArea(frame, [object(500, 400, 700)]);
    expect(counting.areaMm2).toBe(0);
    expect(holds(object(500, 400, 700))).toBe(false);
  });

  it('is the whole squares in which every object is whole', () => {
    const scene = { ...frame, squares: squares() };
    // a rim of 38 px leaves 38..964 by 38..764: all squares; of 60 px 60..942 by 60..742: the middle ones and those below
    expect(countedArea(scene, [object(500, 400, 50)]).counting.areaMm2).toBeCloseTo(12 * 0.16, 12);
    const { counting, holds } = countedArea(scene, [object(500, 400, 80)]);
    expect(counting.shape).toEqual({ kind: 'squares', squares: ['B2', 'C2', 'D2', 'B3', 'C3', 'D3'] });
    expect(counting.areaMm2).toBeCloseTo(6 * 0.16, 12);
    expect(holds(object(251, 251, 20))).toBe(true);
    expect(holds(object(249, 251, 20))).toBe(false);
    expect(countedArea(scene, [], { area: 'field' }).counting.shape.kind).toBe('field');
  });

  it('by two sides gives an object on a line to the square left of or above it', () => {
    const area = countedArea({ ...frame, squares: squares() }, [object(500, 400, 30)], { rule: 'two-sides' });
    expect(area.counting.shape.kind).toBe('squares');
    expect(area.holds(object(50, 100, 20))).toBe(false);
    expect(area.holds(object(100, 50, 20))).toBe(false);
    expect(area.holds(object(850, 100, 20))).toBe(true);
    expect(area.holds(object(100, 650, 20))).toBe(true);
  });

  it('by two sides takes the square within a round field', () => {
    const field = { kind: 'round', ground: 'light', centrePx: [501, 401], radiusPx: 400 } as const;
    const { counting } = countedArea({ ...frame, field }, [object(500, 400, 20)], { rule: 'two-sides' });
    const half = (0.985 * 400 - counting.marginPx) / Math.SQRT2;
    expect(counting.areaMm2).toBeCloseTo(((2 * half) ** 2 * 4) / 1e6, 9);
  });

  it('allows for the local scale', () => {
    // scale rising by a tenth from left to right: mean square of 0.95..1.05 over the middle is 1 + 0.1^2 (851.5/1000)^2 / 12
    const localScale = (x: number): number => 1 + (0.1 * (x - 501)) / 1000;
    const { counting } = countedArea({ ...frame, localScale }, [object(500, 400, 100)]);
    expect(counting.areaMm2).toBeCloseTo(((851.5 * 651.5 * 4) / 1e6) * (1 + (0.01 * 0.8515 ** 2) / 12), 4);
  });

  it('never counts an object that is cut, whatever lies in the photo', () => {
    const random = seededRandom(3);
    const fields = [frame.field, { kind: 'round', ground: 'light', centrePx: [420, 500], radiusPx: 450 } as const];
    let held = 0;
    for (let round = 0; round < 200; round++) {
      const field = fields[round % 2];
      const objects = Array.from({ length: 60 }, () => object(1003 * random(), 803 * random(), 10 + 80 * random()));
      const area = countedArea({ ...frame, field }, objects, { rule: round % 4 < 2 ? 'centroid' : 'two-sides' });
      for (const one of objects.filter((other) => area.holds(other))) {
        held++;
        expect(isCut(one.outline, { width: 1003, height: 803, field })).toBe(false);
      }
    }
    expect(held).toBeGreaterThan(3000);
  });
});

describe('regions', () => {
  it('have the area of box, circle, and circle cut by a box', () => {
    const at = { left: 0, top: 0, right: 100, bottom: 50, circle: null };
    expect(regionArea(at)).toBe(5000);
    const within = { ...at, bottom: 100, circle: { x: 50, y: 50, radius: 40 } };
    expect(regionArea(within) / (Math.PI * 1600)).toBeCloseTo(1, 4);
    // half a disc: its middle lies on the left side
    expect(regionArea({ ...within, circle: { x: 0, y: 50, radius: 40 } }) / (Math.PI * 800)).toBeCloseTo(1, 2);
  });

  it('end where nothing is left', () => {
    const usable = usableRegion(103, 53, { kind: 'frame', ground: 'light' });
    expect(shrunkRegion(usable, 25)).toMatchObject({ left: 25.25, right: 76.75, top: 25.25, bottom: 26.75 });
    expect(shrunkRegion(usable, 26)).toBeNull();
    const round = usableRegion(103, 103, { kind: 'round', ground: 'light', centrePx: [51, 51], radiusPx: 20 });
    expect(shrunkRegion(round, 20)).toBeNull();
    expect(inRegion(round, 51 + 19.6, 51)).toBe(true);
    expect(inRegion(round, 51 + 19.8, 51)).toBe(false);
  });
});

describe('inclusion weights', () => {
  const region = { left: 0, top: 0, right: 1000, bottom: 1000, circle: null };

  it.each([
    [70, 80, 1.16877],
    [150, 160, 1.40056],
    [300, 300, 2.040816],
  ])('are one over (W - x)(H - y) / W H: %d x %d in 1000 x 1000', (width, height, weight) => {
    // computed with the formula of ISO 13322-1 (Miles-Lantuejoul)
    expect(inclusionWeight(region, box(400, 400, width, height))).toBeCloseTo(weight, 6);
  });

  it('are refused above half the frame', () => {
    expect(inclusionWeight(region, box(400, 400, 501, 20))).toBeNull();
    expect(inclusionWeight({ ...region, circle: { x: 500, y: 500, radius: 400 } }, box(400, 400, 401, 401))).toBeNull();
  });

  it('in a round field are those of the disc without a rim as wide as the object', () => {
    const circle = { x: 500, y: 500, radius: 400 };
    const side = 100 / Math.SQRT2;
    expect(inclusionWeight({ ...region, circle }, box(300, 300, side, side))).toBeCloseTo((400 / 350) ** 2, 4);
  });

  it('bring back the mean length of what lies in the cell', () => {
    // 50 : 50 of 80 and 300 um over a plane, mean 190; whole ones in frames of 1000 um alone give 160.8 (own simulation in SciPy)
    const random = seededRandom(9);
    const sums = { plain: 0, plainWeight: 0, weighted: 0, weight: 0 };
    for (let k = 0; k < 200_000; k++) {
      const size = k % 2 === 0 ? 80 : 300;
      const [x, y] = [random() * 1600 - 300, random() * 1600 - 300];
      if (x < 0 || y < 0 || x + size > 1000 || y + size > 1000) continue;
      const weight = inclusionWeight(region, box(x, y, size, size)) ?? Number.NaN;
      sums.plain += size;
      sums.plainWeight++;
      sums.weighted += weight * size;
      sums.weight += weight;
    }
    expect(Math.abs(sums.plain / sums.plainWeight - 160.8)).toBeLessThan(1);
    expect(Math.abs(sums.weighted / sums.weight - 190)).toBeLessThan(1);
  });
});
