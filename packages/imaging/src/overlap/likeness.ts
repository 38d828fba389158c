import { applied, type Affine } from './affine.js';
import { viewAt, type PhotoView } from './photo-view.js';

/** Places along each side at which two pictures of a thing are compared. */
const SAMPLES = 14;
/** Side of what is compared, over the size of the thing. */
const SIDE = 1.5;

/**
 * How alike two photos are about one place: correlation of their brightness, which light and contrast do not change.
 *
 * @param map of the first photo onto the second
 * @param at place and size of a thing in the first, pixels
 * @returns -1 to 1; null where too little is in sight
 */
export function likeness(
  views: readonly [PhotoView, PhotoView],
  map: Affine,
  at: { readonly x: number; readonly y: number; readonly size: number },
): number | null {
  const ones: number[] = [];
  const twos: number[] = [];
  for (let row = 0; row < SAMPLES; row++) {
    for (let column = 0; column < SAMPLES; column++) {
      const x = at.x + ((column + 0.5) / SAMPLES - 0.5) * SIDE * at.size;
      const y = at.y + ((row + 0.5) / SAMPLES - 0.5) * SIDE * at.size;
      const one = viewAt(views[0], x, y);
      const two = viewAt(views[1], ...applied(map, x, y));
      if (one === null || two === null) continue;
      ones.push(one);
      twos.push(two);
    }
  }
  return ones.length < SAMPLES ** 2 / 2 ? null : correlation(ones, twos);
}

/** Pearson's correlation; 0 when one of the lists is all the same. */
function correlation(ones: ArrayLike<number>, twos: ArrayLike<number>): number {
  const n = ones.length;
  let [sumOne, sumTwo, both, oneSquare, twoSquare] = [0, 0, 0, 0, 0];
  for (let k = 0; k < n; k++) {
    sumOne += ones[k];
    sumTwo += twos[k];
    both += ones[k] * twos[k];
    oneSquare += ones[k] ** 2;
    twoSquare += twos[k] ** 2;
  }
  const spread = (oneSquare - sumOne ** 2 / n) * (twoSquare - sumTwo ** 2 / n);
  return spread > 0 ? (both - (sumOne * sumTwo) / n) / Math.sqrt(spread) : 0;
}
