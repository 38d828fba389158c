import type { Photo } from '@veligrid/api';
import type { Job } from '@veligrid/storage';
import type { Call, Handlers } from '../http/call.js';
import { sendVersion } from '../http/etag.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { checkOpen, findSample, readPhoto, readSample } from '../samples/read-sample.js';
import { addPhotos } from './add-photos.js';

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
  getDetections: async ({ house, params, req, res }) => {
    const { photo } = await readPhoto(house, params['photo']);
    const entry = photo.count === null ? null : await house.store.detections.get(photo.count);
    if (entry === null) throw new ProblemError('refused', `${photo.name} is not counted yet. Wait until it is.`);
    sendVersion(req, res, entry.id);
    return entry.count;
  },
};
