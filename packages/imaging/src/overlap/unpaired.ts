import type { PhotoCount } from '@veligrid/model';
import { applied, type Affine } from './affine.js';
import { sizeOf } from './marks.js';

/** Room that a thing needs within the other photo to be seen whole there, over its size. */
const ROOM = 0.75;

/**
 * Counted larvae of a photo that another must show whole, too, but doesn't: they swam, or one of the photos was misread.
 *
 * @param map from this photo to the other
 * @param paired places in the list of detections that have their like in the other photo
 */
export function unpairedLarvae(count: PhotoCount, other: PhotoCount, map: Affine, paired: ReadonlySet<number>): number {
  const grown = Math.hypot(map.a, map.d);
  return count.detections.filter((one, index) => {
    if (!one.counted || paired.has(index)) return false;
    const room = ROOM * grown * sizeOf(one);
    const [x, y] = applied(map, one.x, one.y);
    const { field } = other;
    if (x < room || y < room || x > other.widthPx - room || y > other.heightPx - room) return false;
    return field.kind === 'frame' || Math.hypot(x - field.centrePx[0], y - field.centrePx[1]) < field.radiusPx - room;
  }).length;
}
