import type { SampleNotes } from '@veligrid/model';
import {
  choice,
  json,
  name,
  number,
  orNull,
  secret,
  sha256,
  text,
  time,
  whole,
  yesNo,
  type Column,
  type Table,
} from './columns.js';
import {
  ROLES,
  type BatchFields,
  type FillingFields,
  type Job,
  type JsonObject,
  type Kept,
  type MicroscopeFields,
  type PhotoFields,
  type SampleFields,
  type SignIn,
  type StaffFields,
  type StoredFile,
  type TankFields,
} from './contract.js';

/** Columns that every record has besides its fields. */
export const KEPT: { readonly [K in keyof Recorded<unknown>]: Column<Recorded<unknown>[K]> } = {
  id: name('given by the store'),
  entry: whole('order in which rows of this table were added'),
  revision: whole('1 when added, one more with every change'),
  addedBy: name('who added it'),
  addedAt: time('when it was added'),
  changedBy: name('who changed it last'),
  changedAt: time('when it was changed last'),
};

export const ACTIVE: Column<boolean> = yesNo('whether it is still in use');
export const NOTE: Column<string> = text('free text of staff');
const uncertainty = (of: string): Column<number | null> =>
  orNull(number(`standard uncertainty of ${of}; empty when not known`, 'ml'));

/** A record's row: its fields and what the store keeps with them. */
export type Recorded<Fields> = Kept<Fields> & { readonly entry: number };

export const STAFF: Table<Recorded<StaffFields> & { readonly nameKey: string }> = {
  name: 'staff',
  about: 'people who count',
  columns: {
    ...KEPT,
    name: name('as shown and as written wherever somebody said something'),
    nameKey: name('the name as compared with others'),
    role: choice(ROLES, 'what they may do'),
    passwordHash: secret(orNull(name('hash of the password'))),
    active: yesNo('whether they still work here'),
  },
  key: ['id'],
};

export const SIGN_IN: Table<SignIn> = {
  name: 'sign_in',
  about: 'browsers that are signed in',
  columns: {
    tokenHash: sha256('SHA-256 of the token'),
    staffId: name('who'),
    startedAt: time('since when'),
    expiresAt: time('until when'),
  },
  key: ['tokenHash'],
};

export const MICROSCOPE: Table<Recorded<MicroscopeFields>> = {
  name: 'microscope',
  about: 'microscopes',
  columns: { ...KEPT, name: name('as staff call it'), note: NOTE, active: ACTIVE },
  key: ['id'],
};

export const BATCH: Table<Recorded<BatchFields>> = {
  name: 'batch',
  about: 'batches of larvae of one spawn',
  columns: {
    ...KEPT,
    name: name('as staff call it; text, also when it looks like a number'),
    species: name('species preset'),
    spawnedAt: orNull(time('when it was spawned')),
    note: NOTE,
    active: ACTIVE,
  },
  key: ['id'],
};

export const TANK: Table<Recorded<TankFields>> = {
  name: 'tank',
  about: 'tanks',
  columns: {
    ...KEPT,
    name: name('as staff call it; text, also when it looks like a number'),
    volumeMl: orNull(number('volume; empty when not known', 'ml', 'above-0')),
    volumeStandardUncertaintyMl: uncertainty('the volume'),
    note: NOTE,
    active: ACTIVE,
  },
  key: ['id'],
};

export const SAMPLE: Table<Recorded<SampleFields>> = {
  name: 'sample',
  about: 'samples looked at under the microscope',
  columns: {
    ...KEPT,
    name: name('as staff call it'),
    batchId: orNull(name('batch it is of')),
    tankId: orNull(name('tank it is of')),
    takenAt: time('when it was taken'),
    species: name('species preset'),
    notes: json<SampleNotes>('live, chilled or fixed, with what, and the age', 'object'),
    containerVolumeMl: orNull(number('volume of the container it stands for', 'ml', 'above-0')),
    containerVolumeStandardUncertaintyMl: uncertainty('that volume'),
    counting: json<JsonObject>('how its photos are counted', 'object'),
    note: NOTE,
    active: ACTIVE,
  },
  key: ['id'],
};

export const FILLING: Table<Recorded<FillingFields>> = {
  name: 'filling',
  about: 'fillings of the slide (subsamples)',
  columns: {
    ...KEPT,
    sampleId: name('sample it is of'),
    number: whole('1 for the first of the sample'),
    volumeMl: orNull(number('volume looked at; empty when not known', 'ml', 'above-0')),
    volumeStandardUncertaintyMl: uncertainty('that volume'),
    steps: json<FillingFields['steps']>('dilutions and concentrations in order, as volumes', 'list'),
    note: NOTE,
  },
  key: ['id'],
};

export const FILE: Table<StoredFile> = {
  name: 'file',
  about: 'picture files, named by their content',
  columns: {
    sha256: sha256('SHA-256 of the content'),
    bytes: whole('length'),
    addedAt: time('when it came'),
  },
  key: ['sha256'],
};

export const PHOTO: Table<Recorded<PhotoFields>> = {
  name: 'photo',
  about: 'photos of fillings',
  columns: {
    ...KEPT,
    fillingId: name('filling it shows'),
    sha256: sha256('picture file'),
    page: whole('page of a file with several, 1 for the first'),
    name: name('name of the file as staff gave it'),
    widthPx: orNull(number('width upright', 'px', 'above-0')),
    heightPx: orNull(number('height upright', 'px', 'above-0')),
    takenAt: orNull(time('when it was taken')),
    calibrationId: orNull(name('calibration its scale comes from')),
  },
  key: ['id'],
};

export const JOB: Table<Job & { readonly entry: number }> = {
  name: 'job',
  about: 'work for the background',
  columns: {
    id: KEPT.id,
    entry: KEPT.entry,
    kind: name('what is to be done'),
    subject: orNull(name('what it is about')),
    payload: json<JsonObject>('what the worker needs to know', 'object'),
    state: choice(['waiting', 'running', 'done', 'failed', 'cancelled'] as const, 'how far it is'),
    progress: number('0 to 1', ''),
    reason: orNull(name('why it failed last')),
    attempts: whole('how often it was begun'),
    worker: orNull(name('who has it')),
    leaseUntil: orNull(time('until when it is theirs')),
    addedAt: time('when it was added'),
    changedAt: time('when it changed last'),
  },
  key: ['id'],
};
