import { SpeckMap, type Speck } from './speck-map.js';
import type { PhotoView } from './photo-view.js';

/** Half sides of the squares whose means are compared, pixels of the copy. */
const SMALL = 1;
const LARGE = 6;
/** Half side of the square in which the direction of the change is looked at. */
const AROUND = 6;
/** Specks lie this far from the edge of the picture, pixels of the copy. */
const EDGE = 4;
/** A speck differs from what is around it by so many spreads of all such differences. */
const LEAST_CONTRAST = 4;
/** Spread of a normal distribution over the middle of its absolute values. */
const SPREAD_OF_MEDIAN = 1.4826;
/** Change along the weaker over that along the stronger direction; ruled lines and fibres have less. */
const LEAST_ROUNDNESS = 0.35;
/** Specks lie apart by this at least, pixels of the copy: one thing must not speak twice. */
const APART = 16;
/** Boxes along the longer side of a photo, and the specks taken from each, the strongest. */
const BOXES = 14;
const MOST_IN_BOX = 6;

/** Sums over all pixels left of and above each. */
function sumsOf({ width, height, data }: PhotoView): Float64Array {
  const across = width + 1;
  const sums = new Float64Array(across * (height + 1));
  for (let row = 0; row < height; row++) {
    let sum = 0;
    for (let column = 0; column < width; column++) {
      sum += data[row * width + column];
      sums[(row + 1) * across + column + 1] = sums[row * across + column + 1] + sum;
    }
  }
  return sums;
}

/** Means over squares of half side `reach` about each pixel, as much of them as the picture holds. */
function means(sums: Float64Array, { width, height }: PhotoView, reach: number): Float32Array {
  const values = new Float32Array(width * height);
  const across = width + 1;
  for (let row = 0, at = 0; row < height; row++) {
    const [top, bottom] = [Math.max(0, row - reach), Math.min(height, row + reach + 1)];
    const [upper, lower] = [top * across, bottom * across];
    for (let column = 0; column < width; column++, at++) {
      const [left, right] = [Math.max(0, column - reach), Math.min(width, column + reach + 1)];
      const sum = sums[lower + right] - sums[lower + left] - sums[upper + right] + sums[upper + left];
      values[at] = sum / ((bottom - top) * (right - left));
    }
  }
  return values;
}

/** 0 where brightness changes along one direction only, 1 where it changes alike along all (smaller over larger eigenvalue). */
function roundnessAt(values: Float32Array, { width, height }: PhotoView, column: number, row: number): number {
  let [xx, yy, xy] = [0, 0, 0];
  for (let y = Math.max(1, row - AROUND); y <= Math.min(height - 2, row + AROUND); y++) {
    for (let x = Math.max(1, column - AROUND); x <= Math.min(width - 2, column + AROUND); x++) {
      const here = y * width + x;
      const dx = values[here + 1] - values[here - 1];
      const dy = values[here + width] - values[here - width];
      xx += dx * dx;
      yy += dy * dy;
      xy += dx * dy;
    }
  }
  const half = Math.hypot((xx - yy) / 2, xy);
  const mean = (xx + yy) / 2;
  return mean + half > 0 ? (mean - half) / (mean + half) : 0;
}

/** Middle of the absolute differences, over a sample. */
function middleDifference(difference: Float32Array): number {
  const sample: number[] = [];
  for (let at = 0; at < difference.length; at += 97) sample.push(Math.abs(difference[at]));
  return sample.sort((a, b) => a - b)[sample.length >> 1] ?? 0;
}

/** Places that differ most from what is around them, strongest first, none too near the edge. */
function peaksOf(difference: Float32Array, { width, height }: PhotoView): number[] {
  const least = Math.max(1, LEAST_CONTRAST * SPREAD_OF_MEDIAN * middleDifference(difference));
  const peaks: number[] = [];
  for (let row = EDGE; row < height - EDGE; row++) {
    for (let column = EDGE; column < width - EDGE; column++) {
      const at = row * width + column;
      const value = Math.abs(difference[at]);
      if (value < least || value < Math.abs(difference[at - 1]) || value < Math.abs(difference[at + 1])) continue;
      if (value >= Math.abs(difference[at - width]) && value >= Math.abs(difference[at + width])) peaks.push(at);
    }
  }
  return peaks.sort((a, b) => Math.abs(difference[b]) - Math.abs(difference[a]) || a - b);
}

/** Place of a peak between pixels, from the parabola through it and its neighbours on either side. */
function between(values: Float32Array, at: number, step: number): number {
  const [before, here, after] = [at - step, at, at + step].map((k) => Math.abs(values[k]));
  const bend = before - 2 * here + after;
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend))) : 0;
}

/**
 * Specks of a photo that tell its places apart, found without knowing what they are: dirt too small to be a find, and
 * parts of larvae. The strongest of every part of the picture, as an overlap may be narrow. Straight lines give none.
 *
 * @param isUsable whether a place of the photo may give one
 */
export function speckMarks(view: PhotoView, isUsable: (x: number, y: number) => boolean): Speck[] {
  const { width, height, factor } = view;
  if (Math.min(width, height) < 4 * (LARGE + AROUND)) return [];
  const sums = sumsOf(view);
  const small = means(sums, view, SMALL);
  const difference = means(sums, view, LARGE);
  for (let at = 0; at < difference.length; at++) difference[at] = small[at] - difference[at];
  const box = Math.max(width, height) / BOXES;
  const inBox = new Map<number, number>();
  const taken = new SpeckMap(APART * factor);
  for (const at of peaksOf(difference, view)) {
    const [column, row] = [at % width, Math.floor(at / width)];
    const key = BOXES * Math.floor(row / box) + Math.floor(column / box);
    const full = (inBox.get(key) ?? 0) >= MOST_IN_BOX;
    if (full || roundnessAt(small, view, column, row) < LEAST_ROUNDNESS) continue;
    const x = (column + between(difference, at, 1) + 0.5) * factor - 0.5;
    const y = (row + between(difference, at, width) + 0.5) * factor - 0.5;
    if (taken.hasNear(x, y) || !isUsable(x, y)) continue;
    taken.add({ x, y });
    inBox.set(key, (inBox.get(key) ?? 0) + 1);
  }
  return [...taken.all];
}
