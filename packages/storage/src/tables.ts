import type { SampleNotes } from '@veligrid/model';
import {
  bytes,
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
  type AnyTable,
  type Chained,
  type Column,
  type LogTable,
  type Table,
} from './columns.js';
import {
  ROLES,
  type BatchFields,
  type CalibrationFields,
  type EstimateFields,
  type FillingFields,
  type Job,
  type Json,
  type JsonObject,
  type Kept,
  type MicroscopeFields,
  type PhotoFields,
  type RulesFields,
  type SampleFields,
  type SignIn,
  type SignOffFields,
  type StaffFields,
  type StoredFile,
  type TankFields,
} from './contract.js';

/** Columns that every record has besides its fields. */
const KEPT = {
  id: name('given by the store'),
  entry: whole('order in which rows of this table were added'),
  revision: whole('1 when added, one more with every change'),
  addedBy: name('who added it'),
  addedAt: time('when it was added'),
  changedBy: name('who changed it last'),
  changedAt: time('when it was changed last'),
};

/** Columns that every row of an append-only table has. `link` follows from the row before in its chain and this one. */
const CHAINED = {
  entry: whole('order in which rows of this table were added'),
  id: name('given by the store'),
  order: whole('1, 2, 3 ... in the chain this row belongs to'),
  by: name('who said it'),
  at: time('when it was kept'),
  link: sha256('SHA-256 of the link before in the chain and of this row: shows what was changed or left out'),
};

const ACTIVE = yesNo('whether it is still in use');
const NOTE = text('free text of staff');
const uncertainty = (of: string): Column<number | null> =>
  orNull(number(`standard uncertainty of ${of}; empty when not known`, 'ml'));

/** A record's row: its fields and what the store keeps with them. */
export type Recorded<Fields> = Kept<Fields> & { readonly entry: number };

/** A row of an append-only table. */
export type Logged<Fields> = Chained & Fields;

/** A version of a record. */
export type ChangeRow = Logged<{
  readonly tableName: string;
  readonly recordId: string;
  readonly why: string | null;
  readonly fields: JsonObject;
}>;

/** A photo's count with its JSON packed. */
export type DetectionsRow = Logged<{
  readonly photoId: string;
  readonly methodName: string;
  readonly methodVersion: string;
  readonly finderVersion: string;
  readonly rulesVersion: string;
  readonly objects: number;
  readonly counted: number;
  readonly sha256: string;
  readonly payload: Uint8Array;
}>;

/** A decision; `at` is when it was kept. */
export type DecisionRow = Logged<{
  readonly sampleId: string;
  readonly photoId: string | null;
  readonly kind: string;
  readonly decidedAt: string;
  readonly payload: JsonObject;
}>;

export type SignOffRow = Logged<SignOffFields> & { readonly why: string | null };
export type SettingRow = Logged<{ readonly key: string; readonly value: Json; readonly why: string | null }>;

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
    reason: orNull(text('why it failed last')),
    attempts: whole('how often it was begun'),
    worker: orNull(name('who has it')),
    leaseUntil: orNull(time('until when it is theirs')),
    addedAt: time('when it was added'),
    changedAt: time('when it changed last'),
  },
  key: ['id'],
};

/** Every version of every record. */
export const CHANGE: LogTable<ChangeRow> = {
  name: 'change',
  about: 'every version of every record, append-only',
  columns: {
    ...CHAINED,
    tableName: name('table of the record'),
    recordId: name('the record'),
    why: orNull(text('why it was changed')),
    fields: json<JsonObject>('its fields after the change', 'object'),
  },
  key: ['id'],
  chain: ['tableName', 'recordId'],
};

export const CALIBRATION: LogTable<Logged<CalibrationFields>> = {
  name: 'calibration',
  about: 'scales of microscopes, each measured on a day, append-only',
  columns: {
    ...CHAINED,
    microscopeId: name('microscope'),
    objective: name('objective as staff call it'),
    umPerPx: number('scale', 'um_per_px', 'above-0'),
    relativeStandardUncertainty: orNull(number('standard uncertainty over the value, 0 to 1', '')),
    widthPx: orNull(number('width of the pictures it is for; empty for any', 'px', 'above-0')),
    measuredOn: text('what it was measured on'),
    measuredAt: time('when it was measured'),
  },
  key: ['id'],
  chain: ['microscopeId'],
};

export const DETECTIONS: LogTable<DetectionsRow> = {
  name: 'detections',
  about: 'what the method saw in one photo, append-only',
  columns: {
    ...CHAINED,
    photoId: name('photo'),
    methodName: name('method'),
    methodVersion: name('version of the method'),
    finderVersion: name('version of the finder'),
    rulesVersion: name('version of the rules for stages'),
    objects: whole('objects found'),
    counted: whole('of these counted before any decision'),
    sha256: sha256('SHA-256 of the whole count as JSON with its keys in order'),
    payload: bytes('the whole count as compressed JSON'),
  },
  key: ['id'],
  chain: ['photoId'],
};

export const DECISION: LogTable<DecisionRow> = {
  name: 'decision',
  about: 'decisions of staff, append-only',
  columns: {
    ...CHAINED,
    sampleId: name('sample'),
    photoId: orNull(name('photo; empty for undoing and redoing')),
    kind: name('what was decided'),
    decidedAt: name('when it was decided, by the clock of who decided'),
    payload: json<JsonObject>('the whole decision', 'object'),
  },
  key: ['id'],
  chain: ['sampleId'],
};

export const SIGN_OFF: LogTable<SignOffRow> = {
  name: 'sign_off',
  about: 'counts and photos signed off or taken back, append-only',
  columns: {
    ...CHAINED,
    sampleId: name('sample'),
    photoId: orNull(name('photo; empty for the whole count')),
    kind: choice(['signed', 'taken-back'] as const, 'signed or taken back'),
    why: orNull(text('why')),
    decisions: whole('last decision it rests on'),
    detections: json<Record<string, string>>('photo to detections it rests on', 'object'),
    payload: orNull(json<JsonObject>('the confirmed count', 'object')),
  },
  key: ['id'],
  chain: ['sampleId'],
};

export const ESTIMATE: LogTable<Logged<EstimateFields>> = {
  name: 'estimate',
  about: 'figures computed from counts that were signed off, append-only',
  columns: {
    ...CHAINED,
    sampleId: name('sample'),
    signOffId: name('sign-off it rests on'),
    kind: name('what was estimated'),
    question: json<JsonObject>('what was asked', 'object'),
    answer: json<JsonObject>('what came out', 'object'),
    program: name('version of the program'),
  },
  key: ['id'],
  chain: ['sampleId'],
};

export const RULES: LogTable<Logged<RulesFields>> = {
  name: 'rules_version',
  about: 'rules for stages and species presets, append-only',
  columns: {
    ...CHAINED,
    kind: choice(['stage-rules', 'species-preset'] as const, 'what it is'),
    name: name('what it is for'),
    version: name('version'),
    content: json<JsonObject>('the whole of it', 'object'),
  },
  key: ['id'],
  chain: ['kind', 'name'],
};

export const SETTING: LogTable<SettingRow> = {
  name: 'setting',
  about: 'settings with every value ever set, append-only',
  columns: { ...CHAINED, key: name('which'), value: json<Json>('value'), why: orNull(text('why')) },
  key: ['id'],
  chain: ['key'],
};

/** Every table, those named by others first. */
export const TABLES: readonly AnyTable[] = [
  STAFF,
  SIGN_IN,
  MICROSCOPE,
  CALIBRATION,
  BATCH,
  TANK,
  SAMPLE,
  FILLING,
  FILE,
  PHOTO,
  DETECTIONS,
  DECISION,
  SIGN_OFF,
  ESTIMATE,
  RULES,
  SETTING,
  JOB,
  CHANGE,
];
