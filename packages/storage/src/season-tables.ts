import {
  MOVE_KINDS,
  SEXES,
  SPAWN_OUTCOMES,
  type AnimalFields,
  type CellTally,
  type CrossFields,
  type CultureFields,
  type CultureReadingFields,
  type MoveFields,
  type OriginFields,
  type ParentageFields,
  type RationFields,
  type SettingEventFields,
  type SpatCountFields,
  type SpawnFields,
  type SpawnResultFields,
  type SpermCheckFields,
  type WaterNoteFields,
} from '@veligrid/model';
import {
  choice,
  json,
  name,
  number,
  orNull,
  text,
  time,
  whole,
  yesNo,
  type AnyTable,
  type Column,
  type LogTable,
  type Table,
} from './columns.js';
import { ACTIVE, KEPT, NOTE, type Recorded } from './record-tables.js';
import { CHAINED, type Logged } from './log-tables.js';

/** A row that staff said of the season: a thing itself, or what stands in for it from then on. */
export type SaidRow<Fields> = Logged<Fields> & {
  readonly why: string | null;
  readonly corrects: string | null;
  readonly withdrawn: boolean;
};

/** An append-only table of the season. All its rows are one chain. */
export type SeasonTable<Fields> = LogTable<SaidRow<Fields>>;

const SAID = {
  why: orNull(name('why it was corrected or taken back')),
  corrects: orNull(name('id of the first row of what this row stands in for; empty for something new')),
  withdrawn: yesNo('taken back: it never happened'),
};

type FieldColumns<Fields> = { readonly [K in keyof Fields]-?: Column<Fields[K]> };

const seasonTable = <Fields>(tableName: string, about: string, columns: FieldColumns<Fields>): SeasonTable<Fields> => ({
  name: tableName,
  about: `${about}, append-only`,
  columns: { ...CHAINED, ...columns, ...SAID } as unknown as SeasonTable<Fields>['columns'],
  key: ['id'],
  chain: [],
});

const HAPPENED = time('when it happened');
const celsius = (about: string): Column<number | null> => orNull(number(about, 'celsius'));

export const BROODSTOCK: Table<Recorded<AnimalFields>> = {
  name: 'broodstock',
  about: 'animals that are kept to spawn',
  columns: {
    ...KEPT,
    name: name('its tag; text, also when it looks like a number'),
    species: name('species preset'),
    line: text('family or line'),
    origin: text('where it came from'),
    selectedFor: text('traits it or its line was selected for'),
    sex: choice(SEXES, 'sex as far as known'),
    note: NOTE,
    active: ACTIVE,
  },
  key: ['id'],
};

export const PARENTAGE: SeasonTable<ParentageFields> = seasonTable('parentage', 'parents of animals', {
  animalId: name('animal'),
  happenedAt: time('when it was said'),
  dam: text('tag of its mother, or empty'),
  sire: text('tag of its father, or empty'),
  note: NOTE,
});

export const SPAWN: SeasonTable<SpawnFields> = seasonTable('spawn', 'animals brought to spawn together', {
  name: name('as staff call it'),
  species: name('species preset'),
  happenedAt: time('when the cue was given'),
  endedAt: orNull(time('when it was over')),
  ambientC: celsius('water the animals were kept in'),
  raisedC: celsius('water they were brought to'),
  cue: text('what made them spawn'),
  note: NOTE,
});

export const SPAWN_RESULT: SeasonTable<SpawnResultFields> = seasonTable('spawn_result', 'what each animal did', {
  spawnId: name('spawn'),
  animalId: name('animal'),
  happenedAt: HAPPENED,
  outcome: choice(SPAWN_OUTCOMES, 'what it did'),
  sex: choice(SEXES, 'sex by what it released'),
  gameteMl: orNull(number('eggs in water, or sperm', 'ml')),
  gametes: orNull(number('eggs or sperm counted in it', '')),
  note: NOTE,
});

export const CROSS_MADE: SeasonTable<CrossFields> = seasonTable('cross_made', 'eggs fertilised together', {
  spawnId: name('spawn'),
  name: name('as staff call it'),
  happenedAt: time('when eggs and sperm met'),
  dams: json<readonly string[]>('animals that gave eggs', 'list'),
  sires: json<readonly string[]>('animals that gave sperm', 'list'),
  pooledSperm: yesNo('sperm of several males was mixed before'),
  eggs: orNull(number('eggs', '')),
  sperm: orNull(number('sperm', '')),
  note: NOTE,
});

export const SPERM_CHECK: SeasonTable<SpermCheckFields> = seasonTable('sperm_check', 'sperm seen on eggs', {
  crossId: name('cross'),
  happenedAt: HAPPENED,
  attachedPerEgg: number('sperm attached to an egg, on average', ''),
  eggs: orNull(whole('eggs looked at')),
  note: NOTE,
});

export const BATCH_ORIGIN: SeasonTable<OriginFields> = seasonTable('batch_origin', 'crosses that a batch comes from', {
  batchId: name('batch'),
  crossId: name('cross'),
  happenedAt: HAPPENED,
  eggs: number('eggs or embryos of the cross in the batch', '', 'above-0'),
  note: NOTE,
});

export const MOVE: SeasonTable<MoveFields> = seasonTable('move', 'animals that came, went or changed tanks', {
  kind: choice(MOVE_KINDS, 'what was done'),
  happenedAt: HAPPENED,
  batchId: name('batch they belong to before'),
  fromTankId: orNull(name('tank they were in')),
  toTankId: orNull(name('tank they come to')),
  intoBatchId: orNull(name('batch that all in that tank is afterwards; empty when it stays the same')),
  number: number('animals', ''),
  low: orNull(number('lower 95 % limit of the number', '')),
  high: orNull(number('upper 95 % limit of the number', '')),
  emptied: yesNo('nothing is left in the tank they came from'),
  sampleId: orNull(name('sample whose count the number rests on, or that was taken')),
  screenUm: orNull(number('aperture of the screen', 'um', 'above-0')),
  place: text('where they went, or why'),
  note: NOTE,
});

export const CULTURE: Table<Recorded<CultureFields>> = {
  name: 'culture',
  about: 'cultures of algae',
  columns: { ...KEPT, name: name('as staff call it'), species: name('alga'), note: NOTE, active: ACTIVE },
  key: ['id'],
};

export const CULTURE_READING: SeasonTable<CultureReadingFields> = seasonTable(
  'culture_reading',
  'what a culture was on a day',
  {
    cultureId: name('culture'),
    happenedAt: HAPPENED,
    litres: orNull(number('volume', 'l')),
    cellsPerMl: number('density', 'per_ml'),
    tally: orNull(json<CellTally>('cells counted on a slide, with volume and dilutions', 'object')),
    note: NOTE,
  },
);

export const RATION: SeasonTable<RationFields> = seasonTable('ration', 'algae given to tanks', {
  tankId: name('tank'),
  cultureId: name('culture'),
  happenedAt: HAPPENED,
  litres: number('volume given', 'l', 'above-0'),
  cellsPerMl: orNull(number('density of the culture then', 'per_ml')),
  note: NOTE,
});

export const WATER_NOTE: SeasonTable<WaterNoteFields> = seasonTable('water_note', 'what the water was', {
  tankId: orNull(name('tank; empty for the whole house')),
  happenedAt: HAPPENED,
  temperatureC: celsius('temperature'),
  salinityPpt: orNull(number('salinity', 'ppt')),
  ph: orNull(number('pH', '')),
  oxygenMgL: orNull(number('dissolved oxygen', 'mg_per_l')),
  note: NOTE,
});

export const SETTING_EVENT: SeasonTable<SettingEventFields> = seasonTable('setting_event', 'larvae put to set', {
  batchId: name('batch'),
  moveId: orNull(name('move that took them out of their tank')),
  happenedAt: HAPPENED,
  larvae: number('larvae', '', 'above-0'),
  cultch: name('what they set on'),
  shells: orNull(number('pieces of cultch', '', 'above-0')),
  bags: orNull(number('bags', '', 'above-0')),
  note: NOTE,
});

export const SPAT_COUNT: SeasonTable<SpatCountFields> = seasonTable(
  'spat_count',
  'spat counted on shells of a setting',
  {
    settingId: name('setting'),
    happenedAt: HAPPENED,
    shells: whole('shells looked at'),
    spat: whole('spat on them'),
    note: NOTE,
  },
);

/** Tables of the season, those named by others first. */
export const SEASON_TABLES: readonly AnyTable[] = [
  BROODSTOCK,
  PARENTAGE,
  SPAWN,
  SPAWN_RESULT,
  CROSS_MADE,
  SPERM_CHECK,
  BATCH_ORIGIN,
  MOVE,
  CULTURE,
  CULTURE_READING,
  RATION,
  WATER_NOTE,
  SETTING_EVENT,
  SPAT_COUNT,
];
