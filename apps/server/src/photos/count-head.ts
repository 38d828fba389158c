import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { randomUUID } from 'node:crypto';
import { dirname, join } from 'node:path';
import type { Warning } from '@veligrid/model';
import type { Job } from '@veligrid/storage';
import type { House } from '../house.js';

/** The part of a count that the list of photos shows, with the time of the job that made the count. */
interface CountHead {
  readonly id: string;
  readonly warnings: readonly Warning[];
  readonly jobAt: string;
}

/** Counts are large and never change, so what is shown of each is remembered; by photo. */
const heads = new WeakMap<House, Map<string, CountHead>>();

const pathOf = ({ store }: House, photoId: string): string => join(store.cacheFolder, 'counts', `${photoId}.head.json`);

/** What an earlier run of the server remembered, or null. */
async function readHead(house: House, photoId: string): Promise<CountHead | null> {
  try {
    return JSON.parse(await readFile(pathOf(house, photoId), 'utf8')) as CountHead;
  } catch {
    // not there, or cut off by a crash: it is made again
    return null;
  }
}

async function writeHead(house: House, photoId: string, head: CountHead): Promise<void> {
  const path = pathOf(house, photoId);
  const work = `${path}.${randomUUID()}`;
  await mkdir(dirname(path), { recursive: true });
  await writeFile(work, JSON.stringify(head));
  await rename(work, path);
}

async function makeHead(house: House, photoId: string, jobAt: string): Promise<CountHead | null> {
  const entry = (await house.store.detections.ofPhoto(photoId)).at(-1);
  if (entry === undefined) return null;
  const head = { id: entry.id, warnings: entry.count.warnings, jobAt };
  // without a job nothing would tell that it is out of date
  if (jobAt !== '') await writeHead(house, photoId, head);
  return head;
}

/** What the list of photos shows of a photo's count; null while it has none. @param job the photo's last */
export async function headOf(
  house: House,
  photoId: string,
  job: Job | undefined,
): Promise<Pick<CountHead, 'id' | 'warnings'> | null> {
  if (job !== undefined && job.state !== 'done') return null;
  const known = heads.get(house) ?? new Map<string, CountHead>();
  heads.set(house, known);
  const jobAt = job?.changedAt ?? '';
  const remembered = known.get(photoId) ?? (jobAt === '' ? null : await readHead(house, photoId));
  const head = remembered?.jobAt === jobAt ? remembered : await makeHead(house, photoId, jobAt);
  if (head !== null) known.set(photoId, head);
  return head;
}
