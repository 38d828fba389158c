import { quantile, type Shrunk } from './shrunk.js';

/** Blocks along the longer side within which the ground is taken as even. */
const BLOCKS = 10;
/** Level between a dark and a light ground when nothing lies on it, and the step that counts as much as all objects. */
const MIDDLE_LEVEL = 70;
const LEVEL_STEP = 60;
const MOST_LEVEL_WEIGHT = 1.5;
/** Levels that an object must differ from the ground. */
const LEAST_DIFFERENCE = 6;

/** Brightness that is commonest, from a histogram smoothed over nine levels. */
function commonest(values: readonly number[]): number {
  const counts = new Float64Array(256);
  for (const value of values) counts[Math.round(value)]++;
  let best = 0;
  let most = -1;
  for (let level = 0; level < 256; level++) {
    let sum = 0;
    for (let near = Math.max(0, level - 4); near <= Math.min(255, level + 4); near++) sum += counts[near];
    if (sum > most) [most, best] = [sum, level];
  }
  return best;
}

/** Sums of what is darker and what is brighter than the middle value of its block. */
function tails(shrunk: Shrunk, inside: (column: number, row: number) => boolean): { dark: number; bright: number } {
  const block = Math.max(8, Math.ceil(Math.max(shrunk.width, shrunk.height) / BLOCKS));
  const sums = { dark: 0, bright: 0 };
  for (let top = 0; top < shrunk.height; top += block) {
    for (let left = 0; left < shrunk.width; left += block) {
      const values = valuesOf(shrunk, [left, top, left + block, top + block], inside);
      if (values.length < (block * block) / 4) continue;
      const middle = quantile(values, 0.5);
      for (const value of values) {
        if (middle - value > LEAST_DIFFERENCE) sums.dark += middle - value;
        if (value - middle > LEAST_DIFFERENCE) sums.bright += value - middle;
      }
    }
  }
  return sums;
}

function valuesOf(
  shrunk: Shrunk,
  [left, top, right, bottom]: readonly [number, number, number, number],
  inside: (column: number, row: number) => boolean,
): number[] {
  const values: number[] = [];
  for (let row = top; row < Math.min(bottom, shrunk.height); row++) {
    for (let column = left; column < Math.min(right, shrunk.width); column++) {
      if (inside(column, row)) values.push(shrunk.data[row * shrunk.width + column]);
    }
  }
  return values;
}

/**
 * Tells whether the objects are dark on a light ground or bright on a dark one, from the objects themselves and from
 * the level of the ground: a ground above 130 is always light, one below 10 always dark, between them what differs
 * from the ground decides as well.
 *
 * @param shrunk copy of the picture
 * @param inside whether a pixel of the copy belongs to the field
 */
export function groundOf(shrunk: Shrunk, inside: (column: number, row: number) => boolean): 'light' | 'dark' {
  const all = valuesOf(shrunk, [0, 0, shrunk.width, shrunk.height], inside);
  if (all.length === 0) return 'light';
  const { dark, bright } = tails(shrunk, inside);
  const objects = dark + bright > 0 ? (dark - bright) / (dark + bright) : 0;
  const level = (commonest(all) - MIDDLE_LEVEL) / LEVEL_STEP;
  return objects + Math.min(MOST_LEVEL_WEIGHT, Math.max(-MOST_LEVEL_WEIGHT, level)) > 0 ? 'light' : 'dark';
}
