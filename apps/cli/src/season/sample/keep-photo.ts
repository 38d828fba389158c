import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { countPhoto, inspectPhoto, removePlace, type CountOptions } from '@veligrid/imaging';
import { asStored, planCount } from '@veligrid/jobs';
import { VeligridError, type PhotoCount } from '@veligrid/model';
import type { Store } from '@veligrid/storage';

/** Photos of more pixels are refused, as the viewer refuses them. */
const MOST_PIXELS = 120_000_000;

/** Counts a picture file; tests and the demo hand in their own. */
export type CountFile = (path: string, options: CountOptions) => Promise<readonly PhotoCount[]>;

/** Where a photo belongs. */
export interface PhotoOf {
  readonly sampleId: string;
  readonly fillingId: string;
  readonly by: string;
}

/** A photo that was kept and counted. */
export interface KeptPhoto {
  readonly id: string;
  readonly name: string;
  readonly page: number;
  readonly count: PhotoCount;
}

async function read(path: string): Promise<Buffer> {
  try {
    return await readFile(path);
  } catch (cause) {
    throw new VeligridError('unreadable-photo', `${path} can't be read. Check the path.`, { cause });
  }
}

async function checkNew(store: Store, { sampleId }: PhotoOf, sha256: string, name: string): Promise<void> {
  const photos = await store.photos.ofSample(sampleId);
  if (!photos.some((one) => one.sha256 === sha256)) return;
  throw new VeligridError('refused', `${name} is in this sample already, so it was not added again.`);
}

/**
 * Keeps every page of a picture file as a photo of a sample, and counts it the way the sample says. The place where it was
 * taken is taken out of the stored copy.
 *
 * @throws VeligridError `unreadable-photo`, or `refused` when the sample has it already
 */
export async function keepPhoto(
  store: Store,
  path: string,
  of: PhotoOf,
  countFile: CountFile = countPhoto,
): Promise<KeptPhoto[]> {
  const bytes = await read(path);
  const name = basename(path);
  const pages = await inspectPhoto(bytes, { name, maxPixels: MOST_PIXELS });
  removePlace(bytes);
  const { sha256 } = await store.files.put(bytes);
  await checkNew(store, of, sha256, name);
  const kept: KeptPhoto[] = [];
  for (const { page, widthPx, heightPx } of pages) {
    const fields = { fillingId: of.fillingId, sha256, page, name, widthPx, heightPx };
    const { id } = await store.photos.add({ ...fields, takenAt: null, calibrationId: null }, { by: of.by });
    const plan = await planCount(store, id);
    const counted = (await countFile(plan.task.path, plan.task.options))[page - 1];
    if (counted === undefined) throw new VeligridError('unreadable-photo', `Page ${page} of ${name} was not counted.`);
    const count = asStored(counted, plan);
    await store.detections.add({ photoId: id, count }, { by: 'count' });
    kept.push({ id, name, page, count });
  }
  return kept;
}
