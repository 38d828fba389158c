import { applied, chained, IDENTITY, inverse, type Affine } from './affine.js';
import { findOverlap, knownOverlap, type MarkedPhoto, type Overlap } from './find-overlap.js';

/** Two photos of one place, by their places in the list. */
export interface PhotoLink extends Overlap {
  readonly photos: readonly [number, number];
}

/** Photos of a filling as they hang together. */
export interface PhotoLinks {
  readonly links: readonly PhotoLink[];
  /** Pairs that look like one place but that stronger ones contradict. */
  readonly refused: readonly (readonly [number, number])[];
}

/** Maps that say the same of two photos bring their middles together to this, micrometres. */
const AGREE_UM = 60;

/** Maps from each photo to every other of its group, over as few photos between as may be. */
export function mapsFrom(
  photo: number,
  links: readonly { readonly photos: readonly [number, number]; readonly map: Affine }[],
): Map<number, Affine> {
  const maps = new Map<number, Affine>([[photo, IDENTITY]]);
  for (const [here, map] of maps) {
    for (const { photos, map: step } of links) {
      const [one, two] = photos;
      if (one === here && !maps.has(two)) maps.set(two, chained(map, step));
      if (two === here && !maps.has(one)) maps.set(one, chained(map, inverse(step)));
    }
  }
  maps.delete(photo);
  return maps;
}

/** Whether two maps of one photo onto another say the same where the photos meet. */
function agree(photo: MarkedPhoto, other: MarkedPhoto, [one, two]: readonly [Affine, Affine]): boolean {
  // the middle of the other photo in this one lies nearer to what they share than either middle does
  const [x, y] = applied(inverse(one), other.count.widthPx / 2, other.count.heightPx / 2);
  const at = [(x + photo.count.widthPx / 2) / 2, (y + photo.count.heightPx / 2) / 2] as const;
  const [u, v] = applied(one, ...at);
  const [s, t] = applied(two, ...at);
  return Math.hypot(u - s, v - t) * other.umPerPx <= AGREE_UM;
}

function eachPair(count: number, look: (one: number, two: number) => void): void {
  for (let two = 1; two < count; two++) {
    for (let one = 0; one < two; one++) look(one, two);
  }
}

/**
 * Which photos show one place: those whose pictures say so, the surest first, none against what surer ones say; then those
 * that must, by way of others: of three photos in a row the first may meet the third.
 */
export function linkPhotos(photos: readonly MarkedPhoto[]): PhotoLinks {
  const seen: PhotoLink[] = [];
  eachPair(photos.length, (one, two) => {
    const overlap = findOverlap(photos[one], photos[two]);
    if (overlap !== null) seen.push({ photos: [one, two], ...overlap });
  });
  const links: PhotoLink[] = [];
  const refused: (readonly [number, number])[] = [];
  for (const link of seen.sort((a, b) => a.logFalse - b.logFalse)) {
    const [one, two] = link.photos;
    const known = mapsFrom(one, links).get(two);
    if (known === undefined || agree(photos[one], photos[two], [link.map, known])) links.push(link);
    else refused.push(link.photos);
  }
  const sure = [...links];
  eachPair(photos.length, (one, two) => {
    if (sure.some(({ photos: both }) => both[0] === one && both[1] === two)) return;
    const map = mapsFrom(one, sure).get(two);
    const overlap = map === undefined ? null : knownOverlap(photos[one], photos[two], map);
    if (overlap !== null) links.push({ photos: [one, two], ...overlap });
  });
  return { links, refused };
}
