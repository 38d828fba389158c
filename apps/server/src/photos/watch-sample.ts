import { isDeepStrictEqual } from 'node:util';
import type { Photo, PhotoEvent } from '@veligrid/api';
import type { Call, Handlers } from '../http/call.js';
import { openEvents } from '../http/events.js';
import { findSample, readSample } from '../samples/read-sample.js';

/** The store is asked this often: workers may be on other machines, so nobody else could tell. */
const BUSY_MS = 300;
const QUIET_MS = 1000;

/** What a watcher was told last. */
interface Told {
  readonly photos: ReadonlyMap<string, Photo>;
  readonly order: number;
  readonly revision: number;
  readonly state: 'open' | 'signed-off';
}

function photoEvents(before: Photo | undefined, now: Photo): PhotoEvent[] {
  if (before === undefined) return [{ event: 'photo', data: now }];
  if (isDeepStrictEqual(before, now)) return [];
  const onlyProgress = isDeepStrictEqual({ ...before, done: now.done }, now);
  return onlyProgress
    ? [{ event: 'progress', data: { photo: now.id, done: now.done } }]
    : [{ event: 'photo', data: now }];
}

/** What there is to tell after a look. */
function newsSince(before: Told | null, now: Told): PhotoEvent[] {
  const news = [...now.photos.values()].flatMap((photo) => photoEvents(before?.photos.get(photo.id), photo));
  const { order, revision, state } = now;
  if (before?.order !== order) news.push({ event: 'decisions', data: { order } });
  if (before?.revision !== revision || before.state !== state)
    news.push({ event: 'sample', data: { revision, state } });
  return news;
}

async function watch({ house, params, req, res }: Call<'watchSample'>): Promise<void> {
  const id = params['sample'];
  await findSample(house, id);
  const stream = openEvents(req, res);
  let told: Told | null = null;
  while (stream.isOpen()) {
    const { answer, photos, decisions } = await readSample(house, await findSample(house, id));
    const now: Told = {
      photos: new Map(photos.map((photo) => [photo.id, photo])),
      order: decisions.at(-1)?.order ?? 0,
      revision: answer.revision,
      state: answer.state,
    };
    for (const { event, data } of newsSince(told, now)) stream.send(event, data);
    told = now;
    const wait = answer.photos.underWay > 0 ? BUSY_MS : QUIET_MS;
    await Promise.race([stream.gone, new Promise((resolve) => setTimeout(resolve, wait).unref())]);
  }
}

export const watchHandlers: Handlers<'watchSample'> = { watchSample: watch };
