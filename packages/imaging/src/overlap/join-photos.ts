import type { Detection, PhotoCount } from '@veligrid/model';
import { chained, IDENTITY, inverse, type Affine } from './affine.js';
import {
  findOverlap,
  knownOverlap,
  markPhoto,
  type MarkedPhoto,
  type Overlap,
  type ViewedCount,
} from './find-overlap.js';
import { ownShare } from './in-area.js';
import { Links } from './links.js';
import { sameThings } from './same-things.js';

/** Two photos of one filling that show some of the same place. */
export interface OverlappingPhotos extends Overlap {
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
  const judge = [...(whole.length > 0 ? whole : copies)].sort(
    (a, b) => b.detection.confidence - a.detection.confidence,
  )[0];
  const isLarva = judge.detection.counted;
  return [...copies].sort((a, b) => rank(b, isLarva) - rank(a, isLarva) || a.photo - b.photo)[0];
}

/** Two photos of one place with the things that both show, by their places in the lists of detections. */
interface PairedPhotos extends Overlap {
  readonly photos: readonly [number, number];
  readonly pairs: readonly (readonly [number, number])[];
}

function copiesOf(counts: readonly PhotoCount[], overlaps: readonly PairedPhotos[]): Copy[][] {
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
function mapsFrom(photo: number, overlaps: readonly PairedPhotos[]): Map<number, Affine> {
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

function areaOf(counts: readonly PhotoCount[], overlaps: readonly PairedPhotos[]): number | null {
  let sum = 0;
  for (const [photo, count] of counts.entries()) {
    const { areaMm2 } = count.counting;
    if (areaMm2 === null) return null;
    const others = [...mapsFrom(photo, overlaps)].map(([other, map]) => ({ count: counts[other], map }));
    sum += areaMm2 * (others.length === 0 ? 1 : ownShare(count, others));
  }
  return sum;
}

/** Overlaps that the pictures show, then those that follow from them: of three photos in a row the first may meet the third. */
function allOverlaps(photos: readonly MarkedPhoto[]): PairedPhotos[] {
  const found: PairedPhotos[] = [];
  const eachPair = (look: (one: number, two: number) => Overlap | null): void => {
    for (let two = 1; two < photos.length; two++) {
      for (let one = 0; one < two; one++) {
        const overlap = look(one, two);
        if (overlap === null) continue;
        const pairs = sameThings(photos[one].count, photos[two].count, overlap.map);
        found.push({ photos: [one, two], ...overlap, pairs });
      }
    }
  };
  eachPair((one, two) => findOverlap(photos[one], photos[two]));
  const shown = [...found];
  eachPair((one, two) => {
    if (shown.some(({ photos: both }) => both[0] === one && both[1] === two)) return null;
    const map = mapsFrom(one, shown).get(two);
    return map === undefined ? null : knownOverlap(photos[one], photos[two], map);
  });
  return found;
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
  const overlaps = allOverlaps(photos.map(markPhoto));
  const groups = new Links(photos.length, (place) => place);
  for (const { photos: both } of overlaps) groups.join(...both);
  const joined = marked(counts, copiesOf(counts, overlaps));
  const all = joined.flatMap(({ detections }) => detections.filter(({ counted }) => counted));
  return {
    counts: joined,
    overlaps: overlaps.map(({ pairs, ...overlap }) => ({ ...overlap, shared: pairs.length })),
    groups: groups.groups(),
    counted: all.length,
    countedInArea: all.filter(({ inArea }) => inArea).length,
    areaMm2: areaOf(counts, overlaps),
  };
}
