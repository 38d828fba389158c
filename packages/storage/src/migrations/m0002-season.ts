import type { CreateTableBuilder, Transaction } from 'kysely';
import type { SqlType } from '../columns.js';
import type { Backend, Tables } from '../dialect/backend.js';

type Builder = CreateTableBuilder<string, string>;

/** Columns of one table in a line: `name type`, with `?` when it may be null and `->table` for a reference to its id. */
type Columns = readonly string[];

const RECORD: Columns = [
  'id text',
  'entry whole',
  'revision whole',
  'added_by text',
  'added_at text',
  'changed_by text',
  'changed_at text',
];
const CHAINED: Columns = ['entry whole', 'id text', 'order whole', 'by text', 'at text', 'link text'];
const saidOf = (table: string): Columns => ['why text?', `corrects text? ->${table}`, 'withdrawn whole'];

/** As this migration found them; later migrations change them, this one is never edited. Those named by others first. */
const TABLES: readonly (readonly [name: string, kind: 'record' | 'log', columns: Columns])[] = [
  [
    'broodstock',
    'record',
    [
      'name text',
      'species text',
      'line text',
      'origin text',
      'selected_for text',
      'sex text',
      'note text',
      'active whole',
    ],
  ],
  [
    'spawn',
    'log',
    [
      'name text',
      'species text',
      'happened_at text',
      'ended_at text?',
      'ambient_c number?',
      'raised_c number?',
      'cue text',
      'note text',
    ],
  ],
  [
    'spawn_result',
    'log',
    [
      'spawn_id text ->spawn',
      'animal_id text ->broodstock',
      'happened_at text',
      'outcome text',
      'sex text',
      'gamete_ml number?',
      'gametes number?',
      'note text',
    ],
  ],
  [
    'cross_made',
    'log',
    [
      'spawn_id text ->spawn',
      'name text',
      'happened_at text',
      'dams text',
      'sires text',
      'pooled_sperm whole',
      'eggs number?',
      'sperm number?',
      'note text',
    ],
  ],
  [
    'batch_origin',
    'log',
    ['batch_id text ->batch', 'cross_id text ->cross_made', 'happened_at text', 'eggs number', 'note text'],
  ],
  [
    'move',
    'log',
    [
      'kind text',
      'happened_at text',
      'batch_id text ->batch',
      'from_tank_id text? ->tank',
      'to_tank_id text? ->tank',
      'into_batch_id text? ->batch',
      'number number',
      'low number?',
      'high number?',
      'emptied whole',
      'sample_id text? ->sample',
      'screen_um number?',
      'place text',
      'note text',
    ],
  ],
  ['culture', 'record', ['name text', 'species text', 'note text', 'active whole']],
  [
    'culture_reading',
    'log',
    [
      'culture_id text ->culture',
      'happened_at text',
      'litres number?',
      'cells_per_ml number',
      'tally text?',
      'note text',
    ],
  ],
  [
    'ration',
    'log',
    [
      'tank_id text ->tank',
      'culture_id text ->culture',
      'happened_at text',
      'litres number',
      'cells_per_ml number?',
      'note text',
    ],
  ],
  [
    'water_note',
    'log',
    [
      'tank_id text? ->tank',
      'happened_at text',
      'temperature_c number?',
      'salinity_ppt number?',
      'ph number?',
      'oxygen_mg_l number?',
      'note text',
    ],
  ],
  [
    'setting_event',
    'log',
    [
      'batch_id text ->batch',
      'move_id text? ->move',
      'happened_at text',
      'larvae number',
      'cultch text',
      'shells number?',
      'bags number?',
      'note text',
    ],
  ],
  [
    'spat_count',
    'log',
    ['setting_id text ->setting_event', 'happened_at text', 'shells whole', 'spat whole', 'note text'],
  ],
];

function withColumn(table: Builder, line: string, { types }: Backend): Builder {
  const [column = '', type = '', reference] = line.split(' ');
  const kind = type.replace('?', '') as SqlType;
  return table.addColumn(column, types[kind], (made) => {
    const one = type.endsWith('?') ? made : made.notNull();
    return reference === undefined ? one : one.references(`${reference.slice(2)}.id`);
  });
}

/** The season: broodstock, spawns, crosses, moves, cultures, rations, water and setting. */
export async function m0002Season(db: Transaction<Tables>, backend: Backend): Promise<void> {
  for (const [name, kind, columns] of TABLES) {
    const lines = kind === 'record' ? [...RECORD, ...columns] : [...CHAINED, ...columns, ...saidOf(name)];
    let table = db.schema.createTable(name) as Builder;
    for (const line of lines) table = withColumn(table, line, backend);
    // what is named by others has to be unique
    const unique = kind === 'record' ? ['entry'] : ['id', 'order'];
    table = table.addPrimaryKeyConstraint(`${name}_key`, [kind === 'record' ? 'id' : 'entry']);
    for (const column of unique) table = table.addUniqueConstraint(`${name}_${column}`, [column]);
    await backend.finishTable(table).execute();
    if (kind === 'log') await backend.makeAppendOnly(db, name);
    if (kind === 'log') await db.schema.createIndex(`${name}_by_first`).on(name).column('corrects').execute();
  }
}
