import { openStore } from '@veligrid/storage';
import { sample } from '../../storage/examples.js';
import type { CountedPhoto } from './many-outlines.js';

const SAID = { by: 'Ana' } as const;

/** Where a slide was stored, as addresses of the viewer name it. */
export interface StoredSlide {
  readonly sample: string;
  readonly photo: string;
}

/** Stores a photo that is counted already in the folder of a hatchery whose server does not run yet. */
export async function storeSlide(folder: string, { name, picture, count }: CountedPhoto): Promise<StoredSlide> {
  const store = await openStore(folder);
  try {
    const { sha256 } = await store.files.put(picture);
    const tank = { name: 'Tank 4', volumeMl: null, volumeStandardUncertaintyMl: null, note: '', active: true };
    const { id: tankId } = await store.tanks.add(tank, SAID);
    const counting = { cell: 'none', rule: 'centroid', area: 'field', scale: { kind: 'given', umPerPx: 1.5 } };
    const fields = sample({ tankId, counting: { ...counting, fields: null } });
    const { id: sampleId } = await store.samples.add(fields, SAID);
    const filling = { number: 1, volumeMl: null, volumeStandardUncertaintyMl: null, steps: [], note: '' };
    const { id: fillingId } = await store.fillings.add({ ...filling, sampleId }, SAID);
    const { widthPx, heightPx } = count;
    const photo = { fillingId, sha256, page: 1, name, widthPx, heightPx, takenAt: null, calibrationId: null };
    const { id } = await store.photos.add(photo, SAID);
    await store.jobs.add([{ kind: 'count-photo', subject: id, payload: {} }]);
    const job = await store.jobs.claim('the test', ['count-photo'], 60_000);
    await store.jobs.done({ id: job?.id ?? '', attempt: job?.attempts ?? 0 });
    await store.detections.add({ photoId: id, count: { ...count, photo: id } }, SAID);
    return { sample: sampleId, photo: id };
  } finally {
    await store.close();
  }
}
