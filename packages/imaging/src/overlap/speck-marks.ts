import type { Mark } from './marks.js';
import type { PhotoView } from './photo-view.js';

/** Half sides of the squares whose means are compared, pixels of the copy. */
const SMALL = 1;
const LARGE = 6;
/** Half side of the square in which the direction of the change is looked at. */
const AROUND = 6;
/** A speck differs from what is around it by so many spreads of all such differences. */
const LEAST_CONTRAST = 5;
/** Spread of a normal distribution over the middle of its absolute values. */
const SPREAD_OF_MEDIAN = 1.4826;
/** Change along the weaker over that along the stronger direction; ruled lines and fibres have less. */
const LEAST_ROUNDNESS = 0.35;
/** Specks lie apart by this at least, pixels of the copy. */
const APART = 10;
/** Specks a photo at most, the strongest. */
const MOST_SPECKS = 150;

/** Means over squares of half side `reach` about each pixel, from the sums over all pixels left of and above it. */
function means(sums: Float64Array, { width, height }: PhotoView, reach: number): Float32Array {
  const values = new Float32Array(width * height);
  const across = width + 1;
  const area = (2 * reach + 1) ** 2;
  for (let row = reach; row < height - reach; row++) {
    const [top, bottom] = [(row - reach) * across, (row + reach + 1) * across];
    for (let column = reach; column < width - reach; column++) {
      const [left, right] = [column - reach, column + reach + 1];
      values[row * width + column] =
        (sums[bottom + right] - sums[bottom + left] - sums[top + right] + sums[top + left]) / area;
    }
  }
  return values;
}

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

/** 0 where brightness changes along one direction only, 1 where it changes alike along all. */
function roundnessAt(values: Float32Array, width: number, at: number): number {
  let [xx, yy, xy] = [0, 0, 0];
  for (let row = -AROUND; row <= AROUND; row++) {
    for (let column = -AROUND; column <= AROUND; column++) {
      const here = at + row * width + column;
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

/** Places that differ most from what is around them, strongest first, none too near the edge. */
function peaksOf(difference: Float32Array, { width, height }: PhotoView): number[] {
  const edge = LARGE + AROUND + 1;
  const sample: number[] = [];
  for (let at = edge * width; at < difference.length; at += 97) sample.push(Math.abs(difference[at]));
  const middle = sample.sort((a, b) => a - b)[sample.length >> 1] ?? 0;
  const least = Math.max(1, LEAST_CONTRAST * SPREAD_OF_MEDIAN * middle);
  const peaks: number[] = [];
  for (let row = edge; row < height - edge; row++) {
    for (let column = edge; column < width - edge; column++) {
      const at = row * width + column;
      const value = Math.abs(difference[at]);
      if (value < least || value < Math.abs(difference[at - 1]) || value < Math.abs(difference[at + 1])) continue;
      if (value >= Math.abs(difference[at - width]) && value >= Math.abs(difference[at + width])) peaks.push(at);
    }
  }
  return peaks.sort((a, b) => Math.abs(difference[b]) - Math.abs(difference[a]) || a - b);
}

/**
 * Specks and corners of a photo that tell its places apart, found without knowing what they are: dirt too small to be a
 * find, and the inner parts of larvae. Ruled lines give none.
 *
 * @param sizePx size that they are given, pixels of the photo
 */
export function speckMarks(view: PhotoView, sizePx: number): Mark[] {
  const { width, height, factor } = view;
  if (Math.min(width, height) < 4 * (LARGE + AROUND)) return [];
  const sums = sumsOf(view);
  const small = means(sums, view, SMALL);
  const large = means(sums, view, LARGE);
  const difference = small.map((value, at) => value - large[at]);
  const taken: Mark[] = [];
  for (const at of peaksOf(difference, view)) {
    if (taken.length === MOST_SPECKS) break;
    const [column, row] = [at % width, Math.floor(at / width)];
    const [x, y] = [(column + 0.5) * factor - 0.5, (row + 0.5) * factor - 0.5];
    if (taken.some((mark) => Math.hypot(mark.x - x, mark.y - y) < APART * factor)) continue;
    if (roundnessAt(small, width, at) >= LEAST_ROUNDNESS) taken.push({ index: -1, x, y, size: sizePx });
  }
  return taken;
}
