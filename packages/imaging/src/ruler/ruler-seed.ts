import type { Raster } from '../raster.js';
import { findPeriod, levelled } from './period.js';
import type { RulerAxis } from './ruler-axes.js';
import { bandProfile, type RulerFrame } from './ruler-band.js';

/** Length of the run in which a period is looked for, pixels, and how many such runs at most along a stretch. */
const RUN = 256;
const MOST_RUNS = 6;
/** Longest period looked for, pixels. */
const MOST_PERIOD = 80;
/** Rows in one mean, and how far to both sides of the axis it is looked, blocks. */
const GROUP = 6;
const REACH_BLOCKS = 3;
/** Least correlation for a run to be a row of lines. */
const LEAST_CORRELATION = 0.45;
/** A run as regular as this share of the best is taken when it has the shorter period. */
const NEAR_BEST = 0.7;
/** Rows in which the lines show at less than this share of the best lie beyond their ends. */
const SHOWING = 0.5;
/** So many rows may be hidden between two that show the lines, pixels: a line along the ruler. */
const HIDDEN_ROWS = 4;

/** So many rows tell as much as more: work does not grow with the length of the lines. */
const MOST_ROWS = 24;
/** A frame is turned and read again when its lines lean more than this. */
const SQUARE_ENOUGH = 0.03;

/** Two readings of one period agree within this. */
const SAME_PERIOD = 0.05;

/** Start of a ruler: a stretch of it with its division. */
export interface RulerSeed {
  /** Origin at one line; lean and direction as the lines have them. */
  readonly frame: RulerFrame;
  /** Distance of neighbouring lines along the frame, pixels. */
  readonly divisionPx: number;
  /** Rows in which all lines show, pixels across. */
  readonly rows: readonly number[];
  /** Largest |along| of the stretch. */
  readonly half: number;
  readonly correlation: number;
}

interface Run {
  readonly from: number;
  readonly across: number;
  readonly length: number;
  readonly correlation: number;
}

/**
 * The most regular part of a row of blocks, followed to the direction and the ends of its lines.
 *
 * @param block side of a block of the map the axis comes from, pixels
 * @returns null when nothing regular is there
 */
export function rulerSeed(raster: Raster, axis: RulerAxis, block: number): RulerSeed | null {
  const frame = { x: axis.x, y: axis.y, angle: axis.angle, lean: 0 };
  const runs: Run[] = [];
  const from = Math.round(axis.from);
  const room = Math.round(axis.to) - from + 1;
  const length = Math.min(RUN, Math.max(96, room));
  const count = Math.max(1, Math.min(MOST_RUNS, Math.ceil((2 * (room - length)) / length) + 1));
  const reach = REACH_BLOCKS * block;
  for (let across = -reach; across <= reach - GROUP; across += GROUP) {
    const rows = [1, 3, 5].map((row) => across + row);
    for (let k = 0; k < count; k++) {
      const start = from + (count === 1 ? 0 : Math.round(((Math.max(room, length) - length) * k) / (count - 1)));
      const profile = bandProfile(raster, frame, { from: start, to: start + length - 1, rows });
      const period = findPeriod(levelled(profile, MOST_PERIOD / 2), MOST_PERIOD);
      if (period === null || period.correlation < LEAST_CORRELATION) continue;
      runs.push({ from: start, across: across + GROUP / 2, ...period });
    }
  }
  if (runs.length === 0) return null;
  const highest = Math.max(...runs.map(({ correlation }) => correlation));
  const good = runs.filter(({ correlation }) => correlation >= NEAR_BEST * highest);
  const best = good.reduce((one, other) => (other.length < 0.8 * one.length ? other : one), bestOf(good));
  const seed = followAcross(raster, frame, { ...best, size: length, reach });
  if (seed === null || Math.abs(seed.frame.lean) < SQUARE_ENOUGH) return seed;
  // askew, the run showed the lines in too many rows, and their distance is not certain
  const turned = squareOn(seed);
  const half = Math.round(length / 2);
  const rows = seed.rows.filter((row) => Math.abs(row) <= GROUP);
  const profile = bandProfile(raster, turned.frame, { from: -half, to: half, rows });
  const period = findPeriod(levelled(profile, turned.divisionPx), MOST_PERIOD);
  const isSame = period !== null && Math.abs(period.length / turned.divisionPx - 1) < SAME_PERIOD;
  const known = isSame ? period : { length: turned.divisionPx, correlation: seed.correlation };
  return followAcross(raster, turned.frame, { ...known, from: -half, across: 0, size: 2 * half + 1, reach }) ?? seed;
}

/** The seed with its direction turned square to the lines. */
export function squareOn(seed: RulerSeed): RulerSeed {
  const turn = Math.atan(seed.frame.lean);
  const frame: RulerFrame = { ...seed.frame, angle: seed.frame.angle - turn, lean: 0 };
  return { ...seed, frame, divisionPx: seed.divisionPx * Math.cos(turn) };
}

const bestOf = (runs: readonly Run[]): Run =>
  runs.reduce((one, other) => (other.correlation > one.correlation ? other : one));

/** Strength and phase of a period in each row about the run: where the lines end, and how they lean. */
function followAcross(
  raster: Raster,
  frame: RulerFrame,
  run: Run & { readonly size: number; readonly reach: number },
): RulerSeed | null {
  const centre = run.from + run.size / 2;
  const rows: { across: number; re: number; im: number }[] = [];
  for (let across = run.across - run.reach; across <= run.across + run.reach; across++) {
    let re = 0;
    let im = 0;
    const band = bandProfile(raster, frame, { from: run.from, to: run.from + run.size - 1, rows: [across] });
    const values = levelled(band, run.length);
    for (let k = 0; k < run.size; k++) {
      const weight = Math.sin((Math.PI * (k + 0.5)) / run.size) ** 2;
      const turn = (2 * Math.PI * (run.from + k - centre)) / run.length;
      const value = weight * values[k];
      re += value * Math.cos(turn);
      im -= value * Math.sin(turn);
    }
    rows.push({ across, re, im });
  }
  const shown = showingRows(rows, run.across);
  if (shown.length < 4) return null;
  // the phase turns evenly from row to row; its mean turn between rows two apart is free of whole turns
  let re = 0;
  let im = 0;
  for (let i = 2; i < shown.length; i++) {
    if (shown[i].across - shown[i - 2].across !== 2) continue;
    re += shown[i].re * shown[i - 2].re + shown[i].im * shown[i - 2].im;
    im += shown[i].im * shown[i - 2].re - shown[i].re * shown[i - 2].im;
  }
  const lean = (-Math.atan2(im, re) / 2) * (run.length / (2 * Math.PI));
  const middle = (shown[0].across + shown[shown.length - 1].across) / 2;
  let sumRe = 0;
  let sumIm = 0;
  for (const row of shown) {
    const turn = (2 * Math.PI * lean * (row.across - middle)) / run.length;
    sumRe += row.re * Math.cos(turn) - row.im * Math.sin(turn);
    sumIm += row.re * Math.sin(turn) + row.im * Math.cos(turn);
  }
  // the greatest value of the wave lies here; lines are usually dark, and half a division does no harm
  const offset = (-Math.atan2(sumIm, sumRe) * run.length) / (2 * Math.PI);
  const along = centre + offset;
  const s = Math.sin(frame.angle);
  const c = Math.cos(frame.angle);
  return {
    frame: { x: frame.x + along * c - middle * s, y: frame.y + along * s + middle * c, angle: frame.angle, lean },
    divisionPx: run.length,
    rows: thinned(shown.map(({ across }) => across - middle)),
    half: run.size / 2,
    correlation: run.correlation,
  };
}

/** Every second row, or third ... so that few enough are left. */
function thinned(rows: readonly number[]): number[] {
  const step = Math.ceil(rows.length / MOST_ROWS);
  return rows.filter((_, k) => k % step === 0);
}

function showingRows<T extends { across: number; re: number; im: number }>(rows: readonly T[], start: number): T[] {
  const strength = rows.map((_, i) => {
    const near = rows.slice(Math.max(0, i - 1), i + 2);
    return near.reduce((sum, { re, im }) => sum + Math.hypot(re, im), 0) / near.length;
  });
  const from = rows.findIndex(({ across }) => across >= start);
  let peak = 0;
  for (let i = Math.max(0, from - 8); i <= Math.min(rows.length - 1, from + 8); i++) peak = Math.max(peak, strength[i]);
  const shows = (i: number): boolean => strength[i] >= SHOWING * peak;
  const edge = (step: 1 | -1): number => {
    let last = from;
    for (let i = from; i >= 0 && i < rows.length && Math.abs(i - last) <= HIDDEN_ROWS; i += step)
      if (shows(i)) last = i;
    return last;
  };
  const low = edge(-1);
  const high = edge(1);
  return rows.filter((_, i) => i >= low && i <= high && shows(i));
}
