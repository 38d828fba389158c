import { lumaOf } from '../../measure/luma.js';
import type { Raster } from '../../raster.js';
import type { Viewed } from './polar-view.js';

/** Cells of the lattice along the length. */
const CELLS = 96;
/** An eye spot lies within this share of the length from the middle. */
const REACH = 0.26;
const HALF = Math.ceil(REACH * CELLS);
const SIDE = 2 * HALF + 1;
/** Half-widths in cells: the spot, and the ring around it. */
const SPOT = 1;
const RING = 4;

/** Steps of luma that the table of darkness tells apart. */
const STEPS = 8;
/** Darkness -ln(luma / 255) by luma in eighths; below 1 that of 1. */
const DARKNESS = Float64Array.from({ length: 255 * STEPS + 1 }, (_, k) => -Math.log(Math.max(1, k / STEPS) / 255));

// Larvae are looked at one after the other, so they share this room: making it anew for each costs more than filling it.
const DARK = new Float64Array(SIDE * SIDE);
/** Running sums; the first row and column stay 0. */
const SUMS = new Float64Array((SIDE + 1) * (SIDE + 1));

/** Darkness of the lattice about the middle, -ln(luma / 255) of the nearest pixel, row by row. */
function lattice(raster: Raster, { x, y, axisRad }: Viewed, lengthPx: number): Float64Array {
  const { width, height, data } = raster;
  const step = lengthPx / CELLS;
  const [alongX, alongY] = [step * Math.cos(axisRad), step * Math.sin(axisRad)];
  const dark = DARK;
  for (let row = -HALF, at = 0; row <= HALF; row++) {
    for (let column = -HALF; column <= HALF; column++, at++) {
      const px = Math.min(width - 1, Math.max(0, Math.round(x + column * alongX - row * alongY)));
      const py = Math.min(height - 1, Math.max(0, Math.round(y + column * alongY + row * alongX)));
      dark[at] = DARKNESS[Math.round(lumaOf(data, 3 * (py * width + px)) * STEPS)];
    }
  }
  return dark;
}

/** Sum over the square of a half-width about a cell, from running sums. */
function squareSum(sums: Float64Array, row: number, column: number, half: number): number {
  const wide = SIDE + 1;
  const top = (row - half) * wide;
  const bottom = (row + half + 1) * wide;
  const left = column - half;
  const right = column + half + 1;
  return sums[bottom + right] - sums[top + right] - sums[bottom + left] + sums[top + left];
}

function runningSums(values: Float64Array): Float64Array {
  const wide = SIDE + 1;
  const sums = SUMS;
  for (let row = 0; row < SIDE; row++) {
    let along = 0;
    for (let column = 0; column < SIDE; column++) {
      along += values[row * SIDE + column];
      sums[(row + 1) * wide + column + 1] = sums[row * wide + column + 1] + along;
    }
  }
  return sums;
}

/** Width of the dark spot about a cell: cells in a row and in a column above half of its contrast, the geometric mean. */
function spotCells(dark: Float64Array, row: number, column: number, level: number): number {
  const run = (step: number): number => {
    const start = row * SIDE + column;
    let count = 1;
    for (const way of [step, -step]) {
      for (let k = 1; k <= RING && dark[start + k * way] > level; k++) count++;
    }
    return count;
  };
  return Math.sqrt(run(1) * run(SIDE));
}

/**
 * The darkest small spot near the middle, as the eye spot of a larva ready to set:
 * `eye_contrast` darkness of a square of 3 % of the length less that of the ring around it (8 % wide), natural units 0..4;
 * `eye_darkness` darkness of the spot less the mean of the part looked at, 0..5;
 * `eye_offset` its distance from the middle over the length, 0..0.4;
 * `eye_diameter` its width at half contrast over the length, 0..0.1, and with a scale `eye_diameter_um`, micrometres
 * (8 to 12 for drawn larvae).
 *
 * @param lengthPx length of the larva, above 0
 * @param umPerPx scale, or null
 */
export function eyeSpot(
  raster: Raster,
  viewed: Viewed,
  lengthPx: number,
  umPerPx: number | null,
): Record<string, number> {
  const dark = lattice(raster, viewed, lengthPx);
  const sums = runningSums(dark);
  const [spotArea, ringArea] = [(2 * SPOT + 1) ** 2, (2 * RING + 1) ** 2 - (2 * RING - 1) ** 2];
  const best = { contrast: -Infinity, spot: 0, row: HALF, column: HALF };
  for (let row = RING; row < SIDE - RING; row++) {
    for (let column = RING; column < SIDE - RING; column++) {
      const spot = squareSum(sums, row, column, SPOT) / spotArea;
      const ring = (squareSum(sums, row, column, RING) - squareSum(sums, row, column, RING - 1)) / ringArea;
      if (spot - ring <= best.contrast) continue;
      best.contrast = spot - ring;
      best.spot = spot;
      best.row = row;
      best.column = column;
    }
  }
  const mean = squareSum(sums, HALF, HALF, HALF) / SIDE ** 2;
  const cells = spotCells(dark, best.row, best.column, best.spot - best.contrast / 2);
  return {
    eye_contrast: best.contrast,
    eye_darkness: best.spot - mean,
    eye_offset: Math.hypot(best.row - HALF, best.column - HALF) / CELLS,
    eye_diameter: cells / CELLS,
    ...(umPerPx === null ? {} : { eye_diameter_um: (cells * lengthPx * umPerPx) / CELLS }),
  };
}
