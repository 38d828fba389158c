import { randomUUID } from 'node:crypto';
import type { Photo, Result } from '@veligrid/api';
import { VeligridError, type Stage } from '@veligrid/model';
import { isAnimal, viewOf, type Decision, type ReviewedPhoto } from '@veligrid/review';
import type { Store } from '@veligrid/storage';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { keepDecisions } from '../review/append-decisions.js';
import { countsOf, decisionOf, logOf } from '../review/counts.js';
import { checkOpen, findSample, readSample, type ReadSample } from '../samples/read-sample.js';
import { benchHouse } from './bench-house.js';
import { signPhoto, signSample } from './sign-off-handlers.js';

/** What a person said of one object in a photo. */
export interface Looked {
  readonly stage: Stage;
}

/** A count that a person has reviewed, object by object. */
export interface Review {
  readonly sampleId: string;
  /** Who stands for it. */
  readonly by: string;
  /** What was said of each object, by the photo's name and the object's id. */
  readonly looked: ReadonlyMap<string, ReadonlyMap<string, Looked>>;
}

/** Clock and ids, handed in where runs have to be alike. */
export interface BenchOptions {
  readonly now?: () => Date;
  readonly newId?: () => string;
}

/** One photo as it stands, for a person to review. */
export interface ToReview {
  /** Name of the photo's file; `name#page` where several photos of the sample have one name. */
  readonly photo: string;
  /** Its id in the store. */
  readonly id: string;
  readonly view: ReviewedPhoto;
}

/** Problems that a server would answer, as an error for the person at this machine. */
async function onBench<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof ProblemError)) throw error;
    throw new VeligridError('refused', error.message, { cause: error });
  }
}

/** Names of photos, told apart where two are alike. */
function namesOf(photos: readonly Photo[]): Map<string, string> {
  const alike = (name: string): number => photos.filter((one) => one.name === name).length;
  return new Map(photos.map(({ id, name, hash }) => [id, alike(name) === 1 ? name : `${name}#${hash.slice(0, 8)}`]));
}

async function viewsOf(house: House, of: ReadSample): Promise<ToReview[]> {
  const counted = of.photos.filter(({ count }) => count !== null);
  const log = logOf(of.decisions.map(decisionOf), new Set(counted.map(({ id }) => id)));
  const names = namesOf(of.photos);
  const views = viewOf(await countsOf(house, counted), log).filter(({ rejected }) => rejected === null);
  return views.map((view) => ({ photo: names.get(view.count.photo) ?? '', id: view.count.photo, view }));
}

/** Objects that a person has to have looked at: all that count, or would if they were animals. */
export function objectsToReview({ objects, squares }: ReviewedPhoto): ReviewedPhoto['objects'] {
  const inside = (square: string | null): boolean => squares === null || (square !== null && squares.includes(square));
  return objects.filter(({ counted, square }) => counted && inside(square));
}

/** Counted photos of a sample as they stand. @throws VeligridError `refused` when the sample is not there */
export function photosToReview(store: Store, sampleId: string, options: BenchOptions = {}): Promise<ToReview[]> {
  const house = benchHouse(store, options.now ?? ((): Date => new Date()));
  return onBench(async () => viewsOf(house, await readSample(house, await findSample(house, sampleId))));
}

/** @throws VeligridError `refused` for an object that nobody looked at, or one that is not there */
function checkComplete(views: readonly ToReview[], { looked }: Review): void {
  for (const [photo, objects] of looked) {
    const view = views.find((one) => one.photo === photo);
    if (view === undefined) throw new VeligridError('refused', `The sample has no counted photo ${photo}.`);
    const strange = [...objects.keys()].find((id) => !view.view.objects.some((object) => object.id === id));
    if (strange !== undefined) throw new VeligridError('refused', `There is no object ${strange} in ${photo}.`);
  }
  for (const { photo, view } of views) {
    const missing = objectsToReview(view).filter(({ id }) => looked.get(photo)?.has(id) !== true);
    const [first] = missing;
    if (first === undefined) continue;
    const message = `${String(missing.length)} objects of ${photo} were not looked at, ${first.id} the first. Every one needs its line.`;
    throw new VeligridError('refused', message);
  }
}

/** Decisions that make what was found what a person said it is. */
function decisionsOf(
  views: readonly ToReview[],
  { looked, by }: Review,
  made: () => { id: string; at: string },
): Decision[] {
  return views.flatMap(({ photo, id: photoId, view }) =>
    view.objects.flatMap((object): Decision[] => {
      const said = looked.get(photo)?.get(object.id);
      if (said === undefined || said.stage === object.stage) return [];
      // what is no animal is not counted, whatever it is: nothing to say anew
      if (!isAnimal(said.stage) && !isAnimal(object.stage)) return [];
      return [{ ...made(), by, kind: 'relabel', photo: photoId, object: object.id, stage: said.stage }];
    }),
  );
}

/**
 * Signs a count off that a person has reviewed object by object: what they said anew is decided in their name, each photo is
 * marked as looked at, and the whole is signed off, all or nothing. This is the same sign-off as the viewer's.
 *
 * @throws VeligridError `refused` when an object that counts has no line, or something else stands in the way
 */
export function confirmReviewed(store: Store, review: Review, options: BenchOptions = {}): Promise<Result> {
  const { now = (): Date => new Date(), newId = randomUUID } = options;
  const house = benchHouse(store, now);
  return onBench(() =>
    store.together(async () => {
      const of = await readSample(house, await findSample(house, review.sampleId));
      checkOpen(of);
      const views = await viewsOf(house, of);
      checkComplete(views, review);
      const decisions = decisionsOf(views, review, () => ({ id: newId(), at: now().toISOString() }));
      await keepDecisions(house, of, { expectedOrder: of.decisions.length, own: decisions });
      const signing = { order: of.decisions.length + decisions.length, by: review.by };
      for (const { id } of views) await signPhoto(house, id, signing);
      return signSample(house, review.sampleId, signing);
    }),
  );
}
