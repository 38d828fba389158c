import type { PhotoCount } from '@veligrid/model';
import { applied, inverse, type Affine } from './affine.js';
import { likeness } from './likeness.js';
import { sizeOf } from './marks.js';
import type { PhotoView } from './photo-view.js';

/** How many finds of the place that two photos share look alike in both. */
export interface SharedFinds {
  /** Whole finds that both photos must show. */
  readonly there: number;
  /** Of these, those that look alike in both. */
  readonly alike: number;
}

/** Least correlation of the two pictures of one thing. */
const ALIKE = 0.6;
/** The same thing may lie so many pixels of the copy beside where it is expected. */
const SEARCH = 1;

function lookedUp(
  from: { readonly count: PhotoCount; readonly view: PhotoView },
  to: { readonly count: PhotoCount; readonly view: PhotoView },
  map: Affine,
): SharedFinds {
  let [there, alike] = [0, 0];
  for (const one of from.count.detections) {
    if (one.flags.includes('cut')) continue;
    const size = sizeOf(one);
    const [x, y] = applied(map, one.x, one.y);
    const room = 0.75 * size * Math.hypot(map.a, map.d);
    if (x < room || y < room || x > to.count.widthPx - room || y > to.count.heightPx - room) continue;
    let best = -1;
    for (let dy = -SEARCH; dy <= SEARCH; dy++) {
      for (let dx = -SEARCH; dx <= SEARCH; dx++) {
        const moved = { ...map, c: map.c + dx * to.view.factor, f: map.f + dy * to.view.factor };
        best = Math.max(best, likeness([from.view, to.view], moved, { x: one.x, y: one.y, size }) ?? -1);
      }
    }
    there++;
    if (best >= ALIKE) alike++;
  }
  return { there, alike };
}

/**
 * Compares the pictures of all whole finds, larvae and dirt, that lie well within what two photos share.
 *
 * @param map of the first photo onto the second
 */
export function sharedFinds(
  photos: readonly [
    { readonly count: PhotoCount; readonly view: PhotoView },
    { readonly count: PhotoCount; readonly view: PhotoView },
  ],
  map: Affine,
): SharedFinds {
  const [first, second] = photos;
  const one = lookedUp(first, second, map);
  const two = lookedUp(second, first, inverse(map));
  return { there: one.there + two.there, alike: one.alike + two.alike };
}
