import type { Photo, PhotoState } from '@veligrid/api';
import type { DecisionEntry, FillingFields, Job, JobState, Kept, PhotoFields, SignOffEntry } from '@veligrid/storage';
import type { House } from '../house.js';
import { headOf } from './count-head.js';

/** Kind of job that counts a photo; its subject is the photo's id. */
export const COUNT_PHOTO = 'count-photo';

const OF_JOB: Readonly<Record<JobState, PhotoState>> = {
  waiting: 'waiting',
  running: 'counting',
  done: 'counted',
  failed: 'failed',
  cancelled: 'cancelled',
};

/** Numbers of the decisions that change a photo, undoing and redoing included. */
export function ordersOn(photoId: string, decisions: readonly DecisionEntry[]): number[] {
  const own = new Set<string>();
  return decisions.flatMap((entry) => {
    const target = entry.payload['decision'];
    const about = entry.photoId === photoId || (typeof target === 'string' && own.has(target));
    if (!about) return [];
    own.add(entry.id);
    return [entry.order];
  });
}

/** The sign-off of one photo that nothing was decided after; null when there is none. */
function lookedAtOf(
  photoId: string,
  signOffs: readonly SignOffEntry[],
  decisions: readonly DecisionEntry[],
): Photo['lookedAt'] {
  const last = signOffs.findLast((entry) => entry.photoId === photoId);
  if (last?.kind !== 'signed') return null;
  const since = ordersOn(photoId, decisions).some((order) => order > last.decisions);
  return since ? null : { by: last.by, at: last.at, order: last.decisions };
}

/** What the states of a sample's photos are told from. */
export interface PhotoSources {
  readonly photos: readonly Kept<PhotoFields>[];
  readonly fillings: readonly Kept<FillingFields>[];
  readonly jobs: readonly Job[];
  readonly signOffs: readonly SignOffEntry[];
  readonly decisions: readonly DecisionEntry[];
  readonly pages: ReadonlyMap<string, number>;
}

function fieldOf(job: Job | undefined): string | null {
  const field = job?.payload['drawnField'];
  return typeof field === 'string' ? field : null;
}

/** How far the job of a photo is; one that was brought in with its count has none. */
function progressOf(job: Job | undefined, counted: boolean): Pick<Photo, 'state' | 'done' | 'why' | 'field'> {
  if (job === undefined) {
    return { state: counted ? 'counted' : 'waiting', done: counted ? 1 : 0, why: null, field: null };
  }
  const state = OF_JOB[job.state];
  return { state, done: job.progress, why: state === 'failed' ? job.reason : null, field: fieldOf(job) };
}

/** What the file of a photo is. */
const fileOf = (
  { name, sha256, widthPx, heightPx, page, addedAt }: Kept<PhotoFields>,
  pages: number,
): Pick<Photo, 'name' | 'hash' | 'widthPx' | 'heightPx' | 'page' | 'pages' | 'added'> => ({
  name,
  hash: sha256,
  widthPx: widthPx ?? 0,
  heightPx: heightPx ?? 0,
  page,
  pages,
  added: addedAt,
});

/** One photo as it is answered. */
async function photoAnswer(house: House, photo: Kept<PhotoFields>, sources: PhotoSources): Promise<Photo> {
  const { fillings, jobs, signOffs, decisions, pages } = sources;
  const job = jobs.findLast(({ subject }) => subject === photo.id);
  const filling = fillings.find(({ id }) => id === photo.fillingId);
  const head = await headOf(house, photo.id, job);
  return {
    id: photo.id,
    sample: filling?.sampleId ?? '',
    filling: filling?.number ?? 1,
    ...fileOf(photo, pages.get(photo.sha256) ?? 1),
    ...progressOf(job, head !== null),
    count: head?.id ?? null,
    lookedAt: lookedAtOf(photo.id, signOffs, decisions),
    warnings: [...(head?.warnings ?? [])],
  };
}

/** All photos of a sample as they are answered, by filling and then as added. */
export async function photosOfSample(
  house: House,
  sampleId: string,
  known: Pick<PhotoSources, 'fillings' | 'signOffs' | 'decisions'>,
): Promise<Photo[]> {
  const photos = await house.store.photos.ofSample(sampleId);
  if (photos.length === 0) return [];
  const jobs = await house.store.jobs.list({ subjects: photos.map(({ id }) => id) });
  const pages = new Map<string, number>();
  for (const { sha256, page } of photos) pages.set(sha256, Math.max(page, pages.get(sha256) ?? 1));
  const sources = { ...known, photos, jobs, pages };
  return Promise.all(photos.map((photo) => photoAnswer(house, photo, sources)));
}
