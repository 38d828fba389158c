import type { PhotoCount } from '@veligrid/model';
import { inverse } from './affine.js';
import { countOnce } from './copies.js';
import { markPhoto, type Overlap, type ViewedCount } from './find-overlap.js';
import { ownShare } from './in-area.js';
import { Links } from './links.js';
import { linkPhotos, mapsFrom, type PhotoLink } from './photo-links.js';
import { sameThings } from './same-things.js';
import { unpairedLarvae } from './unpaired.js';

/** Two photos of one filling that show some of the same place. */
export interface OverlappingPhotos extends Overlap {
  /** Places of the two photos in the list given. */
  readonly photos: readonly [number, number];
  /** Things recognised in both. */
  readonly shared: number;
  /** Counted larvae of the first and of the second photo that the other must show but doesn't. */
  readonly unpaired: readonly [number, number];
}

/** Photos of one filling as one count. */
export interface JoinedCount {
  /** The counts, in the order given; of a thing seen more than once all copies but one say `sameAs` and are not counted. */
  readonly counts: readonly PhotoCount[];
  readonly overlaps: readonly OverlappingPhotos[];
  /** Photos that look like one place though surer overlaps say that they are not; they are not joined. */
  readonly refused: readonly (readonly [number, number])[];
  /** Photos that hang together by overlaps, by their places in the list; each photo in one group. */
  readonly groups: readonly (readonly number[])[];
  /** Eggs, embryos and larvae, each once. */
  readonly counted: number;
  /** Of these, those in the counted area of a photo. */
  readonly countedInArea: number;
  /** Counted area seen, each place once; null without a scale. */
  readonly areaMm2: number | null;
}

function areaOf(counts: readonly PhotoCount[], links: readonly PhotoLink[]): number | null {
  let sum = 0;
  for (const [photo, count] of counts.entries()) {
    const { areaMm2 } = count.counting;
    if (areaMm2 === null) return null;
    const others = [...mapsFrom(photo, links)].map(([other, map]) => ({ count: counts[other], map }));
    sum += areaMm2 * (others.length === 0 ? 1 : ownShare(count, others));
  }
  return sum;
}

/**
 * Joins photos of one filling: those that show some of the same place are recognised, and each thing seen in several of
 * them is counted once. What swims between two shots is not recognised and may be counted twice.
 *
 * @param photos counts with the copies of their pictures, any number; each compared with each
 */
export function joinPhotos(photos: readonly ViewedCount[]): JoinedCount {
  const counts = photos.map(({ count }) => count);
  const { links, refused } = linkPhotos(photos.map(markPhoto));
  const groups = new Links(photos.length, (place) => place);
  for (const { photos: both } of links) groups.join(...both);
  const paired = links.map((link) => {
    const [first, second] = link.photos.map((place) => counts[place]);
    return { ...link, pairs: sameThings(first, second, link.map) };
  });
  const joined = countOnce(counts, paired);
  const all = joined.flatMap(({ detections }) => detections.filter(({ counted }) => counted));
  return {
    counts: joined,
    overlaps: paired.map(({ pairs, ...link }) => {
      const [first, second] = link.photos.map((place) => counts[place]);
      const [ones, twos] = [new Set(pairs.map(([one]) => one)), new Set(pairs.map(([, two]) => two))];
      const unpaired = [
        unpairedLarvae(first, second, link.map, ones),
        unpairedLarvae(second, first, inverse(link.map), twos),
      ] as const;
      return { ...link, shared: pairs.length, unpaired };
    }),
    refused,
    groups: groups.groups(),
    counted: all.length,
    countedInArea: all.filter(({ inArea }) => inArea).length,
    areaMm2: areaOf(counts, links),
  };
}
