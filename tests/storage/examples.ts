import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Detection, PhotoCount } from '@veligrid/model';
import type { BatchFields, DecisionFields, Parts, SampleFields, Store } from '@veligrid/storage';
import { afterAll } from 'vitest';

const folders: string[] = [];

/** A new folder that is gone after the tests of the file. */
export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-store-'));
  folders.push(folder);
  return folder;
}

afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

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

export const found = (id: string, x: number): Detection => ({
  id,
  x,
  y: 20.5,
  outline: [
    [x, 10],
    [x + 10, 20],
    [x, 30],
  ],
  lengthUm: 71.25,
  lengthStandardUncertaintyUm: 0.8,
  heightUm: 60,
  axisDeg: 12,
  areaUm2: 3400.1,
  equivalentDiameterUm: 65.8,
  kind: 'shelled-larva',
  stage: 'd-larva',
  stageProbabilities: { 'd-larva': 0.97, umbo: 0.03 },
  confidence: 0.97,
  square: 'B3',
  flags: ['touching'],
  measures: {
    lengthPx: 44,
    heightPx: 37,
    areaPx2: 1300,
    perimeterPx: 130,
    maxFeretPx: 44,
    minFeretPx: 36,
    maxFeretUm: 71,
    minFeretUm: 58,
    perimeterUm: 210,
    solidity: 0.98,
    circularity: 0.9,
    hinge: null,
    darkness: 0.2,
    edgeContrast: 9,
    edgeWidthPx: 2,
  },
  features: { length: 71.25, roundness: 0.9 },
  counted: true,
  inArea: true,
  inclusionWeight: 1.04,
});

/** A count of one photo with some larvae, one of them outside the counted area. */
export const countOf = (photo: string, larvae = 3, version = '1'): PhotoCount => ({
  photo,
  widthPx: 400,
  heightPx: 300,
  method: { name: 'veligrid', version, finderVersion: '2', rulesVersion: 'starting-3' },
  sample: { kind: 'live', species: 'eastern-oyster', speciesVersion: '1' },
  scale: { umPerPx: 1.62, source: 'given', relativeStandardUncertainty: 0.005 },
  field: { kind: 'frame', ground: 'light' },
  grid: null,
  counting: {
    rule: 'centroid',
    shape: { kind: 'field', boxPx: [10, 10, 390, 290] },
    areaMm2: 0.27,
    marginPx: 10,
    drawnField: null,
    flags: [],
  },
  detections: Array.from({ length: larvae }, (_, i) => ({ ...found(`d${i + 1}`, 40 * i + 5), inArea: i > 0 })),
  warnings: [],
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
