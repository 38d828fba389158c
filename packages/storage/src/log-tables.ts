import {
  bytes,
  choice,
  json,
  name,
  number,
  orNull,
  sha256,
  text,
  time,
  whole,
  type Chained,
  type Column,
  type LogTable,
} from './columns.js';
import type { CalibrationFields, EstimateFields, Json, JsonObject, RulesFields, SignOffFields } from './contract.js';
import type { PlanFields } from './plan-contract.js';

/** Columns that every row of an append-only table has. `link` follows from the row before in its chain and this one. */
export const CHAINED: { readonly [K in keyof Chained]: Column<Chained[K]> } = {
  entry: whole('order in which rows of this table were added'),
  id: name('given by the store'),
  order: whole('1, 2, 3 ... in the chain this row belongs to'),
  by: name('who said it'),
  at: time('when it was kept'),
  link: sha256('SHA-256 of the link before in the chain and of this row: shows what was changed or left out'),
};

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
export type PlanRow = Logged<PlanFields> & { readonly why: string | null };
export type SettingRow = Logged<{ readonly key: string; readonly value: Json; readonly why: string | null }>;

/** Every version of every record. */
export const CHANGE: LogTable<ChangeRow> = {
  name: 'change',
  about: 'every version of every record, append-only',
  columns: {
    ...CHAINED,
    tableName: name('table of the record'),
    recordId: name('the record'),
    why: orNull(name('why it was changed')),
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
    why: orNull(name('why')),
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

export const PLAN: LogTable<PlanRow> = {
  name: 'plan',
  about: 'plans that staff kept, append-only',
  columns: {
    ...CHAINED,
    kind: name('what was planned'),
    question: json<JsonObject>('what was asked', 'object'),
    answer: json<JsonObject>('what came out', 'object'),
    figures: text('presets it was worked out with, by name and version'),
    ownFiguresId: orNull(name('the figures of the house in force then; empty when there were none')),
    changedFigures: json<readonly JsonObject[]>('figures changed for this plan alone', 'list'),
    sampleId: orNull(name('sample it is for')),
    signOffId: orNull(name('sign-off of the count it was made from')),
    batchId: orNull(name('batch it is for')),
    tankId: orNull(name('tank it is for')),
    program: name('version of the program'),
    why: orNull(name('why, as staff said it')),
  },
  key: ['id'],
  chain: [],
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
  columns: { ...CHAINED, key: name('which'), value: json<Json>('value'), why: orNull(name('why')) },
  key: ['id'],
  chain: ['key'],
};
