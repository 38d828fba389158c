import type { Detection, PhotoCount } from '@veligrid/model';
import { applied, scaleOf, type Affine } from './affine.js';
import { MarkMap, sizeOf, type Mark } from './marks.js';

/** Whole things whose centroids come this close, over the size of the smaller, are one. */
const CLOSE = 0.35;

const isCut = ({ flags }: Detection): boolean => flags.includes('cut');

/** Whether a point lies in a closed outline (even-odd rule). */
function isInside(outline: Detection['outline'], x: number, y: number): boolean {
  let inside = false;
  for (const [k, [x1, y1]] of outline.entries()) {
    const [x2, y2] = outline[(k + 1) % outline.length];
    if (y1 > y !== y2 > y && x < x1 + ((y - y1) / (y2 - y1)) * (x2 - x1)) inside = !inside;
  }
  return inside;
}

/**
 * Things that two photos of one place both show. What is cut in one of them is known by its rest lying in the whole one.
 *
 * @param map from the first photo to the second
 * @returns places in the lists of detections, each thing at most once
 */
export function sameThings(first: PhotoCount, second: PhotoCount, map: Affine): (readonly [number, number])[] {
  const grown = scaleOf(map);
  const marks = second.detections.map((one, index): Mark => ({
    place: index,
    index,
    x: one.x,
    y: one.y,
    size: sizeOf(one),
  }));
  const largest = Math.max(1, ...marks.map(({ size }) => size), ...first.detections.map((one) => grown * sizeOf(one)));
  const near = new MarkMap(marks, largest);
  const candidates = first.detections.flatMap((one, index) => {
    const [x, y] = applied(map, one.x, one.y);
    const size = grown * sizeOf(one);
    return near.near(x, y).flatMap((mark: Mark) => {
      const other = second.detections[mark.index];
      const apart = Math.hypot(mark.x - x, mark.y - y) / Math.min(size, mark.size);
      const cut = isCut(one) || isCut(other);
      const isSame = cut ? isInside(other.outline, x, y) || apart < CLOSE : apart < CLOSE;
      return isSame ? [{ pair: [index, mark.index] as const, apart: cut ? apart + 1 : apart }] : [];
    });
  });
  candidates.sort((a, b) => a.apart - b.apart);
  const taken = [new Set<number>(), new Set<number>()];
  return candidates
    .filter(({ pair: [one, two] }) => {
      if (taken[0].has(one) || taken[1].has(two)) return false;
      taken[0].add(one);
      taken[1].add(two);
      return true;
    })
    .map(({ pair }) => pair);
}
