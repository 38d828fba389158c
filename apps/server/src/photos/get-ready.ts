import type { Job } from '@veligrid/storage';
import type { House } from '../house.js';
import { headOf } from './count-head.js';
import { COUNT_PHOTO } from './photo-state.js';
import { makePictures } from './pictures.js';
import { makeShownCount } from './shown-count.js';

/** After a photo was counted: makes what opening its slide needs, so that nobody waits for it. */
export async function getSlideReady(house: House, job: Job): Promise<void> {
  if (job.kind !== COUNT_PHOTO || job.state !== 'done' || job.subject === null) return;
  const { store } = house;
  const photo = await store.photos.get(job.subject);
  const head = photo === null ? null : await headOf(house, photo.id, job);
  if (photo === null || head === null) return;
  await makeShownCount(house, head.id, async () => (await store.detections.get(head.id))?.count ?? null);
  await makePictures(house, { hash: photo.sha256, page: photo.page });
}
