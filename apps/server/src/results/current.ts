import type { Photo } from '@veligrid/api';
import type { PhotoCount } from '@veligrid/model';
import { viewOf, type Decision, type ReviewedObject, type ReviewedPhoto } from '@veligrid/review';
import type { House } from '../house.js';
import { countsOf, decisionOf, logOf } from '../review/counts.js';
import type { ReadSample } from '../samples/read-sample.js';
import { countingOf } from '../samples/sample-answer.js';
import { photoVolumes, type PhotoVolume } from './volumes.js';

/** A sample as it stands: its counted photos with all decisions, and what each stands for. */
export interface Current {
  readonly of: ReadSample;
  readonly counts: readonly PhotoCount[];
  /** Decisions on the counted photos. */
  readonly log: readonly Decision[];
  /** Counted photos that are not rejected. */
  readonly used: readonly ReviewedPhoto[];
  /** Of the used ones, in the same order. */
  readonly volumes: readonly PhotoVolume[];
}

/** Objects of a photo that count: in its squares, or in its field. */
export const countedIn = ({ objects, squares }: ReviewedPhoto): ReviewedObject[] =>
  objects.filter(
    ({ counted, square }) => counted && (squares === null || (square !== null && squares.includes(square))),
  );

/** Looks at a sample as it stands. */
export async function currentOf(house: House, of: ReadSample): Promise<Current> {
  const counted = of.photos.filter(({ count }) => count !== null);
  const counts = await countsOf(house, counted);
  const log = logOf(of.decisions.map(decisionOf), new Set(counted.map(({ id }) => id)));
  const used = viewOf(counts, log).filter(({ rejected }) => rejected === null);
  const byId = new Map(counted.map((photo) => [photo.id, photo]));
  const photos = used.map(({ count, squares }) => {
    const { name, filling } = byId.get(count.photo) ?? { name: count.photo, filling: 1 };
    return { count, squares, name, filling };
  });
  const { fillings } = of.answer;
  return { of, counts, log, used, volumes: photoVolumes(photos, fillings, countingOf(of.sample).cell) };
}

const named = (photos: readonly Photo[]): string => photos.map(({ name }) => name).join(', ');

/** What stands in the way of signing off, as sentences; empty when nothing does. */
export function missingOf({ of, used, volumes }: Current): string[] {
  const { underWay } = of.answer.photos;
  const unseen = of.photos.filter(
    ({ id, lookedAt }) => lookedAt === null && used.some(({ count }) => count.photo === id),
  );
  return [
    ...(underWay > 0 ? [`Still being counted: ${String(underWay)} photos.`] : []),
    ...(used.length === 0 ? ['No photo is counted yet, or all are rejected.'] : []),
    ...(unseen.length > 0 ? [`Not signed off yet: ${named(unseen)}.`] : []),
    ...new Set(volumes.flatMap(({ why }) => why ?? [])),
  ];
}
