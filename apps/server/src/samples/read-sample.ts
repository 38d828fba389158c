import type { Photo, Sample } from '@veligrid/api';
import type { DecisionEntry, Kept, SampleFields } from '@veligrid/storage';
import { notThere, ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { photosOfSample } from '../photos/photo-state.js';
import { sampleAnswer, standingSignOff, type SampleParts } from './sample-answer.js';

/** A sample with what is shown of it, without its counts. */
export interface ReadSample extends SampleParts {
  readonly answer: Sample;
  readonly decisions: readonly DecisionEntry[];
}

/** @throws ProblemError `not-found` */
export async function findSample(house: House, id: string | undefined): Promise<Kept<SampleFields>> {
  const sample = await house.store.samples.get(id ?? '');
  if (sample === null || !sample.active) throw notThere('sample');
  return sample;
}

/** Reads a sample and the state of its photos. */
export async function readSample(house: House, sample: Kept<SampleFields>): Promise<ReadSample> {
  const { store } = house;
  const [fillings, signOffs, decisions, tank, batch] = await Promise.all([
    store.fillings.ofSample(sample.id),
    store.signOffs.ofSample(sample.id),
    store.decisions.ofSample(sample.id),
    sample.tankId === null ? null : store.tanks.get(sample.tankId),
    sample.batchId === null ? null : store.batches.get(sample.batchId),
  ]);
  const photos = await photosOfSample(house, sample.id, { fillings, signOffs, decisions });
  const parts = { sample, fillings, photos, signOffs, tankName: tank?.name ?? '', batchName: batch?.name ?? null };
  return { ...parts, answer: sampleAnswer(parts), decisions };
}

/** Reads the sample that a photo belongs to, and the photo. */
export async function readPhoto(
  house: House,
  id: string | undefined,
): Promise<{ readonly photo: Photo; readonly of: ReadSample }> {
  const stored = await house.store.photos.get(id ?? '');
  const filling = stored === null ? null : await house.store.fillings.get(stored.fillingId);
  if (filling === null) throw notThere('photo');
  const of = await readSample(house, await findSample(house, filling.sampleId));
  const photo = of.photos.find((one) => one.id === id);
  if (photo === undefined) throw notThere('photo');
  return { photo, of };
}

/** @throws ProblemError `refused` when the count is signed off */
export function checkOpen({ signOffs }: Pick<ReadSample, 'signOffs'>): void {
  const signed = standingSignOff(signOffs);
  if (signed === null) return;
  throw new ProblemError('refused', `${signed.by} signed this count off. Open it again first, with a reason.`, {
    code: 'signed-off',
    data: { by: signed.by },
  });
}
