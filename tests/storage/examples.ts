import type { BatchFields, DecisionFields, Parts, SampleFields, Store } from '@veligrid/storage';

export const SAID = { by: 'Ada' } as const;

export const batch: BatchFields = {
  name: '007',
  species: 'eastern-oyster',
  spawnedAt: '2026-05-30T08:00:00.000Z',
  note: '',
  active: true,
};

export const sample = (fields: Partial<SampleFields> = {}): SampleFields => ({
  name: 'day 4',
  batchId: null,
  tankId: null,
  takenAt: '2026-06-03T09:30:00.000Z',
  species: 'eastern-oyster',
  notes: { kind: 'live' },
  containerVolumeMl: 300,
  containerVolumeStandardUncertaintyMl: 3,
  counting: { cell: 'sedgwick-rafter' },
  note: '',
  active: true,
  ...fields,
});

export const decision = (id: string, photoId: string | null, by = 'Ada'): DecisionFields => ({
  id,
  photoId,
  kind: photoId === null ? 'undo' : 'relabel',
  by,
  at: '2026-06-03T11:00:00+02:00',
  payload: { id, kind: 'relabel', object: 'd1', stage: 'umbo' },
});

/** A sample with one filling and one photo; the picture has to be kept already. */
export async function photographed(
  store: Store,
  parts: Parts = store,
): Promise<{ readonly sampleId: string; readonly fillingId: string; readonly photoId: string }> {
  const { sha256 } = await store.files.put(Buffer.from('a picture'));
  const { id: sampleId } = await parts.samples.add(sample(), SAID);
  const { id: fillingId } = await parts.fillings.add(
    { sampleId, number: 1, volumeMl: 1, volumeStandardUncertaintyMl: 0.01, steps: [], note: '' },
    SAID,
  );
  const { id: photoId } = await parts.photos.add(
    {
      fillingId,
      sha256,
      page: 1,
      name: 'IMG_1.jpg',
      widthPx: null,
      heightPx: null,
      takenAt: null,
      calibrationId: null,
    },
    SAID,
  );
  return { sampleId, fillingId, photoId };
}
