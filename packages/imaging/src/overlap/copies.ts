import type { Detection, PhotoCount } from '@veligrid/model';
import { Links } from './links.js';

/** One thing in one photo. */
export interface Copy {
  readonly photo: number;
  readonly index: number;
  readonly detection: Detection;
}

/** Things that two photos both show, by their places in the lists of detections. */
export interface PairedPhotos {
  readonly photos: readonly [number, number];
  readonly pairs: readonly (readonly [number, number])[];
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

/** Everything seen, each thing with all its copies; no two copies of one thing are in one photo. */
function thingsOf(counts: readonly PhotoCount[], overlaps: readonly PairedPhotos[]): Copy[][] {
  const starts: number[] = [];
  let all = 0;
  for (const { detections } of counts) {
    starts.push(all);
    all += detections.length;
  }
  const photoOf = (place: number): number => starts.findLastIndex((start) => start <= place);
  const links = new Links(all, photoOf);
  for (const { photos, pairs } of overlaps) {
    for (const [one, two] of pairs) links.join(starts[photos[0]] + one, starts[photos[1]] + two);
  }
  return links.groups().map((places) =>
    places.map((place) => {
      const photo = photoOf(place);
      const index = place - starts[photo];
      return { photo, index, detection: counts[photo].detections[index] };
    }),
  );
}

/** Counts in which, of all copies of a thing, but one is counted; the others say which in `sameAs`. */
export function countOnce(counts: readonly PhotoCount[], overlaps: readonly PairedPhotos[]): PhotoCount[] {
  const changed = counts.map(({ detections }) => [...detections]);
  for (const copies of thingsOf(counts, overlaps).filter(({ length }) => length > 1)) {
    const kept = chosen(copies);
    const sameAs = { photo: counts[kept.photo].photo, id: kept.detection.id };
    for (const { photo, index, detection } of copies) {
      if (photo !== kept.photo) changed[photo][index] = { ...detection, counted: false, sameAs };
    }
  }
  return counts.map((count, photo) => ({ ...count, detections: changed[photo] }));
}
