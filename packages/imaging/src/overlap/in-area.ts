import type { PhotoCount } from '@veligrid/model';
import { applied, type Affine } from './affine.js';

/** Whether a point lies in a convex figure given by its corners in order. */
function isWithin(corners: readonly (readonly [number, number])[], x: number, y: number): boolean {
  const sides = corners.map(([x1, y1], k) => {
    const [x2, y2] = corners[(k + 1) % corners.length];
    return (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1);
  });
  return sides.every((side) => side >= 0) || sides.every((side) => side <= 0);
}

/** Whether a place lies in the counted area of a photo, pixels. */
function isInArea({ counting, grid }: PhotoCount, x: number, y: number): boolean {
  const { shape } = counting;
  if (shape.kind === 'squares') {
    const squares = (grid?.squares ?? []).filter(({ name }) => shape.squares.includes(name));
    return squares.some(({ cornersPx }) => isWithin(cornersPx, x, y));
  }
  const [left, top, right, bottom] = shape.boxPx;
  if (x < left || y < top || x > right || y > bottom) return false;
  const { circle } = shape;
  return circle === undefined || Math.hypot(x - circle.centrePx[0], y - circle.centrePx[1]) <= circle.radiusPx;
}

/** Places along each side of a photo at which areas are compared. */
const SAMPLES = 160;

/**
 * Share of a photo's counted area that counts as its own: what it shares with others is split evenly among them, so that
 * the own areas of all photos add up to the area seen.
 *
 * @param others the other photos that show some of the same place, with the map from this photo to each
 * @returns 0 to 1
 */
export function ownShare(
  count: PhotoCount,
  others: readonly { readonly count: PhotoCount; readonly map: Affine }[],
): number {
  let all = 0;
  let own = 0;
  for (let row = 0; row < SAMPLES; row++) {
    for (let column = 0; column < SAMPLES; column++) {
      const x = ((column + 0.5) / SAMPLES) * count.widthPx - 0.5;
      const y = ((row + 0.5) / SAMPLES) * count.heightPx - 0.5;
      if (!isInArea(count, x, y)) continue;
      all++;
      own += 1 / (1 + others.filter((other) => isInArea(other.count, ...applied(other.map, x, y))).length);
    }
  }
  return all === 0 ? 1 : own / all;
}
