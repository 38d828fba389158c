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
