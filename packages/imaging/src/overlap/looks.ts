import type { Mark } from './marks.js';
import { viewAt, type PhotoView } from './photo-view.js';

/** Samples along each side of a look. */
const SAMPLES = 12;
/** Sides of a look, micrometres; a thing is compared at the least that is larger than itself. */
const SIDES_UM = [40, 60, 90, 135, 200, 300, 450];
const ROOM = 1.15;

/** How marks look: brightness about each, normalised, so that the product of two looks is their correlation. */
export interface Looks {
  /** Look of a mark at a side of `SIDES_UM`. */
  readonly at: (mark: number, level: number) => Float32Array;
}

/** Least side at which a thing of a size is seen whole. */
export function levelOf(sizeUm: number): number {
  const level = SIDES_UM.findIndex((side) => side >= ROOM * sizeUm);
  return level < 0 ? SIDES_UM.length - 1 : level;
}

function lookAt(view: PhotoView, { x, y }: Mark, sidePx: number): Float32Array {
  const look = new Float32Array(SAMPLES * SAMPLES);
  let [sum, count] = [0, 0];
  for (let at = 0; at < look.length; at++) {
    const dx = (((at % SAMPLES) + 0.5) / SAMPLES - 0.5) * sidePx;
    const dy = ((Math.floor(at / SAMPLES) + 0.5) / SAMPLES - 0.5) * sidePx;
    const value = viewAt(view, x + dx, y + dy);
    look[at] = value ?? NaN;
    if (value === null) continue;
    sum += value;
    count++;
  }
  const mean = sum / count;
  let square = 0;
  for (let at = 0; at < look.length; at++) {
    // what lies beyond the photo speaks neither for nor against
    look[at] = Number.isNaN(look[at]) ? 0 : look[at] - mean;
    square += look[at] ** 2;
  }
  const norm = square > 0 ? 1 / Math.sqrt(square) : 0;
  for (let at = 0; at < look.length; at++) look[at] *= norm;
  return look;
}

/**
 * Looks of the marks of a photo, made when asked for and kept.
 *
 * @param umPerPx scale of the photo
 */
export function looksOf(view: PhotoView, marks: readonly Mark[], umPerPx: number): Looks {
  const made = new Map<number, Float32Array>();
  return {
    at: (mark, level) => {
      const key = mark * SIDES_UM.length + level;
      const known = made.get(key);
      if (known !== undefined) return known;
      const look = lookAt(view, marks[mark], SIDES_UM[level] / umPerPx);
      made.set(key, look);
      return look;
    },
  };
}

/** Correlation of two looks, -1 to 1. */
export function alikeness(one: Float32Array, two: Float32Array): number {
  let sum = 0;
  for (let at = 0; at < one.length; at++) sum += one[at] * two[at];
  return sum;
}
