import type { ReviewedObject } from '@veligrid/review';
import RBush from 'rbush';
import { boxOf, holds, type Box, type Point } from './shapes.js';

interface Entry extends Box {
  readonly id: string;
}

/** Finds the object under a finger or mouse pointer. */
export interface HitIndex {
  /**
   * The object whose outline holds the point; of several the smallest; else the nearest whose box comes within reach.
   *
   * @param reachPx how far beside it a tap may land, pixels of the photo
   */
  at(point: Point, reachPx: number): string | null;
}

const sizeOf = ({ minX, minY, maxX, maxY }: Box): number => (maxX - minX) * (maxY - minY);

const distance = ({ minX, minY, maxX, maxY }: Box, [x, y]: Point): number =>
  Math.hypot(Math.max(minX - x, 0, x - maxX), Math.max(minY - y, 0, y - maxY));

/** Builds the index for the objects of a photo. */
export function hitIndex(objects: readonly ReviewedObject[]): HitIndex {
  const tree = new RBush<Entry>();
  tree.load(objects.map(({ id, outline }) => ({ id, ...boxOf(outline) })));
  const outlines = new Map(objects.map(({ id, outline }) => [id, outline]));
  return {
    at(point, reachPx) {
      const [x, y] = point;
      const near = tree.search({ minX: x - reachPx, minY: y - reachPx, maxX: x + reachPx, maxY: y + reachPx });
      const inside = near.filter(({ id }) => holds(outlines.get(id) ?? [], point));
      if (inside.length > 0) return inside.sort((a, b) => sizeOf(a) - sizeOf(b))[0]?.id ?? null;
      return near.sort((a, b) => distance(a, point) - distance(b, point))[0]?.id ?? null;
    },
  };
}
