import { applied, type Affine } from './affine.js';
import { viewAt, type PhotoView } from './photo-view.js';

/** Places along each side at which two pictures of a thing are compared. */
const SAMPLES = 24;
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
function correlation(ones: readonly number[], twos: readonly number[]): number {
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [meanOne, meanTwo] = [mean(ones), mean(twos)];
  let [both, oneSquare, twoSquare] = [0, 0, 0];
  for (const [k, one] of ones.entries()) {
    both += (one - meanOne) * (twos[k] - meanTwo);
    oneSquare += (one - meanOne) ** 2;
    twoSquare += (twos[k] - meanTwo) ** 2;
  }
  return oneSquare > 0 && twoSquare > 0 ? both / Math.sqrt(oneSquare * twoSquare) : 0;
}
