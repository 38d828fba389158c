import { copyFile, mkdir, readdir } from 'node:fs/promises';
import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { VeligridError } from '@veligrid/model';
import type { SampleFields, Store } from '@veligrid/storage';
import type { House } from '../house.js';
import { DEMO_KEY } from '../people/session-handlers.js';
import { addFiles } from '../photos/add-photos.js';
import { keptCounting } from '../samples/sample-answer.js';

/** Slides drawn by computer that come with the source. */
const SLIDES = fileURLToPath(new URL('../../../../sample-images/drawn', import.meta.url));

/** Who made the demo counts. */
const BY = 'demo';

/** One demo count of the hatchery of our own invention. */
interface DemoCount {
  readonly tank: string;
  readonly tankMl: number;
  readonly takenAt: string;
  readonly ageHours: number;
  readonly containerMl: number;
  readonly slides: readonly string[];
  readonly note: string;
}

const COUNTS: readonly DemoCount[] = [
  {
    tank: 'Larval tank 3',
    tankMl: 2_000_000,
    takenAt: '2026-05-07T14:40:00.000Z',
    ageHours: 30,
    containerMl: 2000,
    slides: ['early_03.jpg', 'crowded_03.jpg'],
    note: 'First drop. Everything on the 25 um screen, brought to 2 L.',
  },
  {
    tank: 'Larval tank 5',
    tankMl: 2_000_000,
    takenAt: '2026-05-20T09:10:00.000Z',
    ageHours: 336.5,
    containerMl: 1000,
    slides: ['eyed_05.jpg', 'dirty_01.jpg'],
    note: 'Ready to set? Brought to 1 L.',
  },
];

const BATCH = { name: 'Spring line A', species: 'eastern-oyster', spawnedAt: '2026-05-06T08:40:00.000Z', note: '' };

function sampleFields(
  { takenAt, ageHours, containerMl, note }: DemoCount,
  tankId: string,
  batchId: string,
): SampleFields {
  const counting = {
    cell: { kind: 'sedgwick-rafter' as const },
    scale: { kind: 'ruled-lines' as const },
    countingRule: 'centroid' as const,
    fields: null,
  };
  return {
    name: takenAt.slice(0, 10),
    batchId,
    tankId,
    takenAt,
    species: BATCH.species,
    notes: { kind: 'live', ageHours },
    containerVolumeMl: containerMl,
    containerVolumeStandardUncertaintyMl: null,
    counting: keptCounting(counting, false),
    note,
    active: true,
  };
}

async function isEmpty(store: Store): Promise<boolean> {
  const [samples, staff, tanks] = await Promise.all([store.samples.list(), store.staff.list(), store.tanks.list()]);
  return samples.length === 0 && staff.length === 0 && tanks.length === 0;
}

async function makeCount(house: House, count: DemoCount, batchId: string): Promise<void> {
  const { store, uploadFolder } = house;
  const volume = { volumeMl: count.tankMl, volumeStandardUncertaintyMl: null };
  const tank = await store.tanks.add({ name: count.tank, ...volume, note: '', active: true }, { by: BY });
  const sample = await store.samples.add(sampleFields(count, tank.id, batchId), { by: BY });
  // one filling: drawn slides of different crowds as two fillings would look like a sample that nobody had stirred
  const filling = { number: 1, volumeMl: null, volumeStandardUncertaintyMl: null, steps: [], note: '' };
  const { id } = await store.fillings.add({ sampleId: sample.id, ...filling }, { by: BY });
  for (const name of count.slides) {
    const path = join(uploadFolder, randomUUID());
    await copyFile(join(SLIDES, name), path);
    await addFiles(house, [{ path, name, field: null }], {
      fillingId: id,
      calibrationId: null,
      by: BY,
      known: new Set(),
    });
  }
}

/**
 * Fills an empty folder with two counts of drawn slides and marks it as the demo. In a folder that was made for the demo
 * what is there is left as it is.
 *
 * @throws VeligridError `refused` for a folder with a hatchery of its own
 */
export async function makeDemo(house: House): Promise<void> {
  const { store, uploadFolder } = house;
  const begun = (await store.settings.get(DEMO_KEY)) === true;
  if (!begun && !(await isEmpty(store))) {
    throw new VeligridError('refused', 'This folder holds a hatchery of its own; the demo is never put into one.');
  }
  const there = await readdir(SLIDES).catch(() => []);
  if (there.length === 0) throw new VeligridError('refused', `The slides of the demo are not there: ${SLIDES}`);
  if (!begun) await store.settings.set(DEMO_KEY, true, { by: BY });
  await mkdir(uploadFolder, { recursive: true });
  const batch =
    (await store.batches.list()).find(({ name }) => name === BATCH.name) ??
    (await store.batches.add({ ...BATCH, active: true }, { by: BY }));
  const tanks = (await store.tanks.list()).map(({ name }) => name);
  // what a stop in the middle left out
  for (const count of COUNTS.filter(({ tank }) => !tanks.includes(tank))) await makeCount(house, count, batch.id);
}
