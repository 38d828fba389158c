import type { Detection, PhotoCount } from '@veligrid/model';
import { chained, IDENTITY, inverse, type Affine } from './affine.js';
import { findOverlap, type Overlap, type ViewedCount } from './find-overlap.js';
import { ownShare } from './in-area.js';
import { Links } from './links.js';
import { sameThings } from './same-things.js';

/** Two photos of one filling that show some of the same place. */
export interface OverlappingPhotos extends Omit<Overlap, 'matches'> {
  /** Places of the two photos in the list given. */
  readonly photos: readonly [number, number];
  /** Things seen in both. */
  readonly shared: number;
}

/** Photos of one filling as one count. */
export interface JoinedCount {
  /** The counts, in the order given; of a thing seen more than once all copies but one say `sameAs` and are not counted. */
  readonly counts: readonly PhotoCount[];
  readonly overlaps: readonly OverlappingPhotos[];
  /** Photos that hang together by overlaps, by their places in the list; each photo in one group. */
  readonly groups: readonly (readonly number[])[];
  /** Eggs, embryos and larvae, each once. */
  readonly counted: number;
  /** Of these, those in the counted area of a photo. */
  readonly countedInArea: number;
  /** Counted area seen, each place once; null without a scale. */
  readonly areaMm2: number | null;
}

/** One thing in one photo. */
interface Copy {
  readonly photo: number;
  readonly index: number;
  readonly detection: Detection;
}

/** How far a copy is to be preferred: counted in the area, then counted, then seen whole, then sure. */
function rank({ detection }: Copy, isLarva: boolean): number {
  const { counted, inArea, flags, confidence } = detection;
  const fits = counted === isLarva ? 4 : 0;
  return fits + (inArea ? 2 : 0) + (flags.includes('cut') ? 0 : 1) + confidence / 2;
}

/** The copy that stands for all: what it is, the surest whole copy says. */
function chosen(copies: readonly Copy[]): Copy {
  const whole = copies.filter(({ detection }) => !detection.flags.includes('cut'));
  const judge = [...(whole.length > 0 ? whole : copies)].sort((a, b) => b.detection.confidence - a.detection.confidence)[0];
  const isLarva = judge.detection.counted;
  return [...copies].sort((a, b) => rank(b, isLarva) - rank(a, isLarva) || a.photo - b.photo)[0];
}

function copiesOf(counts: readonly PhotoCount[], overlaps: readonly { photos: readonly [number, number]; pairs: readonly (readonly [number, number])[] }[]): Copy[][] {
  const starts: number[] = [];
  let all = 0;
  for (const { detections } of counts) {
    starts.push(all);
    all += detections.length;
  }
  const links = new Links(all, (place) => starts.findLastIndex((start) => start <= place));
  for (const { photos, pairs } of overlaps) {
    for (const [one, two] of pairs) links.join(starts[photos[0]] + one, starts[photos[1]] + two);
  }
  return links.groups().map((places) =>
    places.map((place) => {
      const photo = starts.findLastIndex((start) => start <= place);
      const index = place - starts[photo];
      return { photo, index, detection: counts[photo].detections[index] };
    }),
  );
}

/** Maps from each photo to every other of its group, over as few photos between as may be. */
function mapsFrom(photo: number, overlaps: readonly OverlappingPhotos[]): Map<number, Affine> {
  const maps = new Map<number, Affine>([[photo, IDENTITY]]);
  for (const [here, map] of maps) {
    for (const { photos, map: step } of overlaps) {
      const [one, two] = photos;
      if (one === here && !maps.has(two)) maps.set(two, chained(map, step));
      if (two === here && !maps.has(one)) maps.set(one, chained(map, inverse(step)));
    }
  }
  maps.delete(photo);
  return maps;
}

function areaOf(counts: readonly PhotoCount[], overlaps: readonly OverlappingPhotos[]): number | null {
  let sum = 0;
  for (const [photo, count] of counts.entries()) {
    const { areaMm2 } = count.counting;
    if (areaMm2 === null) return null;
    const others = [...mapsFrom(photo, overlaps)].map(([other, map]) => ({ count: counts[other], map }));
    sum += areaMm2 * (others.length === 0 ? 1 : ownShare(count, others));
  }
  return sum;
}

/** Detections with the copies that are not to be counted marked as such. */
function marked(counts: readonly PhotoCount[], things: readonly Copy[][]): PhotoCount[] {
  const changed = counts.map(({ detections }) => [...detections]);
  for (const copies of things.filter(({ length }) => length > 1)) {
    const kept = chosen(copies);
    const sameAs = { photo: counts[kept.photo].photo, id: kept.detection.id };
    for (const { photo, index, detection } of copies) {
      if (photo !== kept.photo) changed[photo][index] = { ...detection, counted: false, sameAs };
    }
  }
  return counts.map((count, photo) => ({ ...count, detections: changed[photo] }));
}

/**
 * Joins photos of one filling: those that show some of the same place are recognised, and each thing seen in several of
 * them is counted once. What swims between two shots is not recognised and may be counted twice.
 *
 * @param photos counts with the copies of their pictures, any number; each compared with each
 */
export function joinPhotos(photos: readonly ViewedCount[]): JoinedCount {
  const counts = photos.map(({ count }) => count);
  const found: (OverlappingPhotos & { readonly pairs: readonly (readonly [number, number])[] })[] = [];
  const groups = new Links(photos.length, (place) => place);
  for (const [two, second] of photos.entries()) {
    for (const [one, first] of photos.slice(0, two).entries()) {
      const overlap = findOverlap(first, second);
      if (overlap === null) continue;
      const pairs = sameThings(first.count, second.count, overlap.map);
      const { map, inSight, logFalse, likeness } = overlap;
      found.push({ photos: [one, two], map, inSight, logFalse, likeness, shared: pairs.length, pairs });
      groups.join(one, two);
    }
  }
  const overlaps = found.map(({ pairs: _pairs, ...overlap }) => overlap);
  const joined = marked(counts, copiesOf(counts, found));
  const all = joined.flatMap(({ detections }) => detections.filter(({ counted }) => counted));
  return {
    counts: joined,
    overlaps,
    groups: groups.groups(),
    counted: all.length,
    countedInArea: all.filter(({ inArea }) => inArea).length,
    areaMm2: areaOf(counts, overlaps),
  };
}
