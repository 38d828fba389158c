import type { Raster } from '../raster.js';
import { waveAt, type RulerLine } from './follow-lines.js';
import { bandProfile, frameValue, type RulerFrame } from './ruler-band.js';

/** Largest shift across between the two ends of the ruler that is put right, pixels. */
const MOST_SHIFT = 60;
/** Fewer lines say nothing of the direction. */
const LEAST_LINES = 12;

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;

/**
 * Turns a frame so that its axis runs through the same part of the first and of the last lines; the lines keep their direction.
 *
 * @param lines lines followed so far
 * @param half rows to both sides of the axis in which the lines differ from the ground, pixels
 */
export function aligned(raster: Raster, frame: RulerFrame, lines: readonly RulerLine[], half: number): RulerFrame {
  if (lines.length < LEAST_LINES) return frame;
  const third = Math.floor(lines.length / 3);
  const ends = [lines.slice(0, third), lines.slice(-third)];
  const division =
    (lines[lines.length - 1].along - lines[0].along) / (lines[lines.length - 1].number - lines[0].number);
  const reach = Math.ceil(half) + MOST_SHIFT;
  const [first, last] = ends.map((end) => contrastRows(raster, frame, { lines: end, division, reach }));
  const shift = bestShift(first, last);
  const [from, to] = ends.map((end) => end.reduce((sum, { along }) => sum + along, 0) / end.length);
  const turn = Math.atan(shift / (to - from));
  return { ...frame, angle: frame.angle + turn, lean: Math.tan(Math.atan(frame.lean) + turn) };
}

/**
 * Gives a frame the lean that its lines have: where their upper parts lie against their lower parts, median over the lines.
 *
 * @param rows rows that the lines cross, pixels across, in order
 */
export function leaning(
  raster: Raster,
  frame: RulerFrame,
  lines: readonly RulerLine[],
  rows: readonly number[],
): RulerFrame {
  const third = Math.floor(rows.length / 3);
  if (lines.length < LEAST_LINES || third === 0) return frame;
  const [first, last] = [lines[0], lines[lines.length - 1]];
  const division = (last.along - first.along) / (last.number - first.number);
  const from = Math.floor(first.along - division) - 1;
  const to = Math.ceil(last.along + division) + 1;
  const parts = [rows.slice(0, third), rows.slice(-third)];
  const [upper, lower] = parts.map((part) => {
    const values = bandProfile(raster, frame, { from, to, rows: part });
    return lines.map(({ along }) => waveAt({ from, values }, along, division, true)?.shift ?? 0);
  });
  const [top, bottom] = parts.map((part) => part.reduce((sum, row) => sum + row, 0) / part.length);
  // of bright lines both shifts are half a division off, which leaves their difference
  const half = division / 2;
  const turns = upper.map((shift, k) => ((((lower[k] - shift + half) % division) + division) % division) - half);
  return { ...frame, lean: frame.lean + median(turns) / (bottom - top) };
}

/** How much the lines differ from the gaps beside them, row by row from -reach to reach. */
function contrastRows(
  raster: Raster,
  frame: RulerFrame,
  of: { readonly lines: readonly RulerLine[]; readonly division: number; readonly reach: number },
): number[] {
  const rows: number[] = [];
  for (let across = -of.reach; across <= of.reach; across++) {
    const contrasts = of.lines.map(({ along }) => {
      const value = (place: number): number => frameValue(raster, frame, place, across);
      return (value(along - of.division / 2) + value(along + of.division / 2)) / 2 - value(along);
    });
    rows.push(median(contrasts));
  }
  return rows;
}

/** Shift of the second run against the first with the largest sum of products, refined by a parabola. */
function bestShift(first: readonly number[], last: readonly number[]): number {
  const scores: number[] = [];
  for (let shift = -MOST_SHIFT; shift <= MOST_SHIFT; shift++) {
    let sum = 0;
    for (let k = Math.max(0, -shift); k < Math.min(first.length, last.length - shift); k++) {
      sum += first[k] * last[k + shift];
    }
    scores.push(sum);
  }
  const best = scores.indexOf(Math.max(...scores));
  if (best === 0 || best === scores.length - 1) return 0;
  const bend = scores[best - 1] - 2 * scores[best] + scores[best + 1];
  const part = bend < 0 ? (0.5 * (scores[best - 1] - scores[best + 1])) / bend : 0;
  return best - MOST_SHIFT + part;
}
