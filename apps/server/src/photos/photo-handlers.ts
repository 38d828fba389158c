import type { Photo } from '@veligrid/api';
import type { PhotoCount } from '@veligrid/model';
import type { Job } from '@veligrid/storage';
import type { Answer, Call, Handlers } from '../http/call.js';
import { sendVersion } from '../http/etag.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { checkOpen, findSample, readPhoto, readSample } from '../samples/read-sample.js';
import { addPhotos } from './add-photos.js';
import { makeShownCount, sendShownCount } from './shown-count.js';

async function lastJob(house: House, photoId: string): Promise<Job | undefined> {
  return (await house.store.jobs.list({ subjects: [photoId] })).at(-1);
}

async function retry({ house, params }: Call<'retryPhoto'>): Promise<Photo> {
  const { photo, of } = await readPhoto(house, params['photo']);
  checkOpen(of);
  const job = await lastJob(house, photo.id);
  if (job === undefined || !(await house.store.jobs.retry(job.id))) {
    throw new ProblemError('refused', `${photo.name} is neither failed nor stopped, so there is nothing to do again.`);
  }
  house.wakeWorkers();
  return (await readPhoto(house, photo.id)).photo;
}

async function cancel({ house, params }: Call<'cancelPhoto'>): Promise<Photo> {
  const { photo } = await readPhoto(house, params['photo']);
  const job = await lastJob(house, photo.id);
  if (job === undefined || !(await house.store.jobs.cancel(job.id))) {
    throw new ProblemError('refused', `${photo.name} is not being counted, so there is nothing to stop.`);
  }
  return (await readPhoto(house, photo.id)).photo;
}

/** The count as it is kept, or without what only learning needs. */
async function getDetections({
  house,
  params,
  query,
  req,
  res,
}: Call<'getDetections'>): Promise<Answer<'getDetections'>> {
  const { photo } = await readPhoto(house, params['photo']);
  const read = async (): Promise<PhotoCount | null> =>
    photo.count === null ? null : ((await house.store.detections.get(photo.count))?.count ?? null);
  const id = photo.count ?? '';
  if (query.features === 'shown' && id !== '') {
    if (sendVersion(req, res, `${id}.shown`)) return undefined as never;
    const path = await makeShownCount(house, id, read);
    if (path !== null) await sendShownCount(req, res, path);
    if (path !== null) return undefined as never;
  }
  const count = await read();
  if (count === null) throw new ProblemError('refused', `${photo.name} is not counted yet. Wait until it is.`);
  sendVersion(req, res, id);
  return count;
}

export const photoHandlers: Handlers<
  'listPhotos' | 'addPhotos' | 'getPhoto' | 'retryPhoto' | 'cancelPhoto' | 'getDetections'
> = {
  listPhotos: async ({ house, params }) => {
    const { photos } = await readSample(house, await findSample(house, params['sample']));
    return { photos: [...photos] };
  },
  addPhotos,
  getPhoto: async ({ house, params }) => (await readPhoto(house, params['photo'])).photo,
  retryPhoto: retry,
  cancelPhoto: cancel,
  getDetections,
};
