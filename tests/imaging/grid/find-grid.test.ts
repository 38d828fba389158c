import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { findField } from '../../../packages/imaging/src/field/find-field.js';
import { findGrid } from '../../../packages/imaging/src/grid/find-grid.js';
import { distanceToLine, squareAt } from '../../../packages/imaging/src/grid/squares.js';
import { readPhoto } from '../../../packages/imaging/src/photo/read-photo.js';
import type { Raster } from '../../../packages/imaging/src/raster.js';

const samples = new URL('../../../sample-images/', import.meta.url).pathname;

async function rasterOf(path: string): Promise<Raster> {
  const { value } = await readPhoto(samples + path).next();
  if (value === undefined) throw new Error(`no page in ${path}`);
  return value.raster;
}

/** Light ground of a size with grey 90 where `dark` says so. */
function painted(size: number, dark: (x: number, y: number) => boolean): Raster {
  const data = new Uint8Array(size * size * 3);
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) data.fill(dark(x, y) ? 90 : 200, (y * size + x) * 3, (y * size + x) * 3 + 3);
  }
  return { width: size, height: size, data };
}

const frame = { kind: 'frame', ground: 'light' } as const;

/** Light ground with dark lines 3 px wide at a pitch, turned by an angle. */
function ruled(size: number, pitch: number, angle: number): Raster {
  const data = new Uint8Array(size * size * 3);
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      const u = (x * Math.cos(angle) + y * Math.sin(angle)) / pitch;
      const v = (y * Math.cos(angle) - x * Math.sin(angle)) / pitch;
      const off = Math.min(Math.abs(u - Math.round(u)), Math.abs(v - Math.round(v))) * pitch;
      data.fill(off < 1.5 ? 90 : 200, (y * size + x) * 3, (y * size + x) * 3 + 3);
    }
  }
  return { width: size, height: size, data };
}

describe('findGrid', () => {
  it.each([0, 0.1, -0.3])('finds lines 150 px apart turned by %f rad, pitch within 0.2 %', (angle) => {
    const fit = findGrid(ruled(900, 150, angle), { kind: 'frame', ground: 'light' });
    expect(fit.found).toBe(true);
    if (!fit.found) return;
    expect(Math.abs(fit.pitchPx / 150 - 1)).toBeLessThan(0.002);
    expect(Math.abs((fit.rotationDeg * Math.PI) / 180 - angle)).toBeLessThan(0.003);
    expect(fit.umPerPx).toBeCloseTo(1000 / fit.pitchPx, 9);
  });

  it('knows the square and the nearest line of a place', () => {
    const fit = findGrid(ruled(900, 150, 0), { kind: 'frame', ground: 'light' });
    if (!fit.found) throw new Error(fit.reason);
    expect(distanceToLine(fit, 375, 300)).toBeLessThan(1);
    expect(distanceToLine(fit, 375, 375)).toBeGreaterThan(73);
    expect(squareAt(fit, 375, 375)).not.toBeNull();
    expect(squareAt(fit, 375, 375)).not.toBe(squareAt(fit, 525, 375));
  });

  it('names whole squares from the first lines seen, corners clockwise from the top left', () => {
    // lines at 0, 150, ..., 900: those at the very border are not seen, so 5 x 5 lines and 4 x 4 squares are left
    const fit = findGrid(ruled(900, 150, 0), frame);
    if (!fit.found) throw new Error(fit.reason);
    expect(fit.squares.map(({ name }) => name)).toEqual(
      ['1', '2', '3', '4'].flatMap((row) => ['A', 'B', 'C', 'D'].map((column) => column + row)),
    );
    const corners = [150, 300].flatMap((y) => [150, 300].map((x) => [x, y]));
    const expected = [corners[0], corners[1], corners[3], corners[2]].flat();
    fit.squares[0].cornersPx.flat().forEach((value, i) => {
      expect(Math.abs(value - expected[i])).toBeLessThan(0.6);
    });
    expect(squareAt(fit, 160, 290)).toBe('A1');
    expect(squareAt(fit, 610, 440)).toBe('D2');
    expect(squareAt(fit, 100, 200)).toBeNull();
    expect(fit.lineHalfWidthPx).toBeGreaterThanOrEqual(1.5);
    expect(fit.lineHalfWidthPx).toBeLessThan(4);
  });

  it('is not led astray by discs that cover a third of the lines', () => {
    const lines = ruled(900, 150, 0.05);
    const covered = painted(900, (x, y) => {
      const [column, row] = [Math.floor(x / 60), Math.floor(y / 60)];
      // discs of radius 22 to 29 px, one in each cell of 60 px, off the middle by a fixed pattern
      const [cx, cy] = [column * 60 + 20 + ((row * 17) % 20), row * 60 + 20 + ((column * 13) % 20)];
      return Math.hypot(x - cx, y - cy) < 22 + ((column + row) % 8) - 8 * ((column * 3 + row) % 2);
    });
    const data = lines.data.map((value, i) => Math.min(value, covered.data[i]));
    const fit = findGrid({ ...lines, data }, frame);
    expect(fit.found && Math.abs(fit.pitchPx / 150 - 1)).toBeLessThan(0.003);
  });

  it('has no pitch with one line each way, and says so', () => {
    const cross = painted(900, (x, y) => Math.abs(x - 450) < 2 || Math.abs(y - 300) < 2);
    expect(findGrid(cross, frame)).toEqual({
      found: false,
      reason: 'No two parallel ruled lines are a plausible distance apart.',
    });
  });

  it('takes the pitch of one family when the other shows one line', () => {
    const lines = painted(900, (x, y) => Math.abs(y - 300) < 2 || [100, 420, 740].some((at) => Math.abs(x - at) < 2));
    const fit = findGrid(lines, frame);
    if (!fit.found) throw new Error(fit.reason);
    expect(Math.abs(fit.pitchPx / 320 - 1)).toBeLessThan(0.003);
    expect([fit.linesU.length, fit.linesV.length, fit.squares.length]).toEqual([3, 1, 0]);
  });

  it('does not take short rulings, fibres or a ruler for a grid', () => {
    const micrometer = painted(900, (x, y) => x > 100 && x < 800 && x % 14 < 3 && Math.abs(y - 450) < 40);
    const fibres = painted(900, (x, y) =>
      [200, 500].some((at) => Math.abs(x - at - 60 * Math.sin(y / 110)) < 3 || Math.abs(y - at - 0.0004 * x * x) < 3),
    );
    for (const raster of [micrometer, fibres, painted(900, () => false)]) {
      expect(findGrid(raster, frame).found).toBe(false);
    }
  });

  it('looks for none when there is no cell, and refuses pitches that can not be', () => {
    expect(findGrid(ruled(900, 150, 0), frame, { cell: 'none' }).found).toBe(false);
    expect(() => findGrid(ruled(90, 15, 0), frame, { pitchUm: 0 })).toThrow(
      'Expected pitchUm to be a number above 0, but got 0',
    );
    expect(() => findGrid(ruled(90, 15, 0), frame, { umPerPxRange: [2, 1] })).toThrow('umPerPxRange');
  });

  it('takes a haemocytometer by its finer pitch', () => {
    const fit = findGrid(ruled(900, 150, 0), { kind: 'frame', ground: 'light' }, { cell: 'haemocytometer' });
    expect(fit.found && fit.umPerPx).toBeCloseTo(250 / 150, 2);
  });

  it.each(['drawn/calibration_00', 'drawn/umbo_04', 'drawn/phone_05', 'drawn/crowded_03'])(
    'reads the scale of the drawn slide %s within 0.5 % of its truth',
    async (name) => {
      const truth = JSON.parse(readFileSync(`${samples}truth/${name.slice(6)}.json`, 'utf8')) as { um_per_px: number };
      const raster = await rasterOf(`${name}.jpg`);
      const fit = findGrid(raster, findField(raster));
      expect(fit.found && Math.abs(fit.umPerPx / truth.um_per_px - 1)).toBeLessThan(0.005);
    },
    30_000,
  );

  it.each(['drawn/eggs_01.jpg', 'drawn/mixed_01.jpg', 'coral-eggs/3L14_000_scale.jpg'])(
    'sees no grid where there is none: %s',
    async (path) => {
      const raster = await rasterOf(path);
      expect(findGrid(raster, findField(raster)).found).toBe(false);
    },
    30_000,
  );
});
