import type { CreateTableBuilder, Transaction } from 'kysely';
import type { Backend, Tables } from '../dialect/backend.js';
import type { SqlType } from '../columns.js';

type Builder = CreateTableBuilder<string, string>;

/** Columns of one table in a line: `name type`, with `?` when it may be null and `->table` or `->table.column` for a reference. */
type Columns = readonly string[];

const RECORD: Columns = [
  'entry whole',
  'revision whole',
  'added_by text',
  'added_at text',
  'changed_by text',
  'changed_at text',
];
const CHAINED: Columns = ['entry whole', 'id text', 'order whole', 'by text', 'at text', 'link text'];

/** As this migration found them; later migrations change them, this one is never edited. */
const RECORDS: Readonly<Record<string, Columns>> = {
  staff: ['name text', 'name_key text', 'role text', 'password_hash text?', 'active whole'],
  microscope: ['name text', 'note text', 'active whole'],
  batch: ['name text', 'species text', 'spawned_at text?', 'note text', 'active whole'],
  tank: ['name text', 'volume_ml number?', 'volume_standard_uncertainty_ml number?', 'note text', 'active whole'],
  sample: [
    'name text',
    'batch_id text? ->batch',
    'tank_id text? ->tank',
    'taken_at text',
    'species text',
    'notes text',
    'container_volume_ml number?',
    'container_volume_standard_uncertainty_ml number?',
    'counting text',
    'note text',
    'active whole',
  ],
  filling: [
    'sample_id text ->sample',
    'number whole',
    'volume_ml number?',
    'volume_standard_uncertainty_ml number?',
    'steps text',
    'note text',
  ],
};

const PHOTO: Columns = [
  'filling_id text ->filling',
  'sha256 text ->file.sha256',
  'page whole',
  'name text',
  'width_px number?',
  'height_px number?',
  'taken_at text?',
  'calibration_id text? ->calibration',
];

/** Append-only tables with the columns that name a chain in each. */
const LOGS: readonly (readonly [table: string, chain: readonly string[], columns: Columns])[] = [
  [
    'calibration',
    ['microscope_id'],
    [
      'microscope_id text ->microscope',
      'objective text',
      'um_per_px number',
      'relative_standard_uncertainty number?',
      'width_px number?',
      'measured_on text',
      'measured_at text',
    ],
  ],
  [
    'detections',
    ['photo_id'],
    [
      'photo_id text ->photo',
      'method_name text',
      'method_version text',
      'finder_version text',
      'rules_version text',
      'objects whole',
      'counted whole',
      'sha256 text',
      'payload bytes',
    ],
  ],
  [
    'decision',
    ['sample_id'],
    ['sample_id text ->sample', 'photo_id text? ->photo', 'kind text', 'decided_at text', 'payload text'],
  ],
  [
    'sign_off',
    ['sample_id'],
    [
      'sample_id text ->sample',
      'photo_id text? ->photo',
      'kind text',
      'why text?',
      'decisions whole',
      'detections text',
      'payload text?',
    ],
  ],
  [
    'estimate',
    ['sample_id'],
    [
      'sample_id text ->sample',
      'sign_off_id text ->sign_off',
      'kind text',
      'question text',
      'answer text',
      'program text',
    ],
  ],
  ['rules_version', ['kind', 'name'], ['kind text', 'name text', 'version text', 'content text']],
  ['setting', ['key'], ['key text', 'value text', 'why text?']],
  ['change', ['table_name', 'record_id'], ['table_name text', 'record_id text', 'why text?', 'fields text']],
];

const INDEXES: readonly (readonly [name: string, table: string, columns: readonly string[], unique: boolean])[] = [
  ['staff_by_name', 'staff', ['name_key'], true],
  ['sign_in_by_staff', 'sign_in', ['staff_id'], false],
  ['sample_by_batch', 'sample', ['batch_id'], false],
  ['sample_by_tank', 'sample', ['tank_id'], false],
  ['filling_by_sample', 'filling', ['sample_id', 'number'], true],
  ['photo_by_filling', 'photo', ['filling_id'], false],
  ['photo_by_file', 'photo', ['sha256'], false],
  ['rules_by_version', 'rules_version', ['kind', 'name', 'version'], true],
  ['job_by_state', 'job', ['state', 'entry'], false],
  ['job_by_subject', 'job', ['subject'], false],
];

function withColumn(table: Builder, line: string, { types }: Backend): Builder {
  const [column = '', type = '', reference] = line.split(' ');
  const optional = type.endsWith('?');
  const kind = type.replace('?', '') as SqlType;
  return table.addColumn(column, types[kind], (made) => {
    const one = optional ? made : made.notNull();
    if (reference === undefined) return one;
    const target = reference.slice(2);
    return one.references(target.includes('.') ? target : `${target}.id`);
  });
}

async function makeTable(
  db: Transaction<Tables>,
  backend: Backend,
  name: string,
  shape: { readonly key: string; readonly columns: Columns; readonly unique?: readonly (readonly string[])[] },
): Promise<void> {
  let table = db.schema.createTable(name) as Builder;
  for (const line of shape.columns) table = withColumn(table, line, backend);
  table = table.addPrimaryKeyConstraint(`${name}_key`, [shape.key]);
  for (const [i, columns] of (shape.unique ?? []).entries()) {
    table = table.addUniqueConstraint(`${name}_unique_${i + 1}`, [...columns]);
  }
  await backend.finishTable(table).execute();
}

async function makeRecord(db: Transaction<Tables>, backend: Backend, name: string, columns: Columns): Promise<void> {
  await makeTable(db, backend, name, { key: 'id', columns: ['id text', ...RECORD, ...columns], unique: [['entry']] });
}

/** The first tables: what the viewer needs. */
export async function m0001Start(db: Transaction<Tables>, backend: Backend): Promise<void> {
  const logs = new Map(LOGS.map(([name, chain, columns]) => [name, { chain, columns }]));
  const makeLog = async (name: string): Promise<void> => {
    const { chain, columns } = logs.get(name) ?? { chain: [], columns: [] };
    const unique = [['id'], [...chain, 'order']];
    await makeTable(db, backend, name, { key: 'entry', columns: [...CHAINED, ...columns], unique });
    await backend.makeAppendOnly(db, name);
  };
  for (const [name, columns] of Object.entries(RECORDS)) await makeRecord(db, backend, name, columns);
  await makeTable(db, backend, 'sign_in', {
    key: 'token_hash',
    columns: ['token_hash text', 'staff_id text ->staff', 'started_at text', 'expires_at text'],
  });
  await makeTable(db, backend, 'file', { key: 'sha256', columns: ['sha256 text', 'bytes whole', 'added_at text'] });
  await makeLog('calibration');
  await makeRecord(db, backend, 'photo', PHOTO);
  for (const name of logs.keys()) if (name !== 'calibration') await makeLog(name);
  await makeTable(db, backend, 'job', {
    key: 'id',
    columns: [
      'id text',
      'entry whole',
      'kind text',
      'subject text?',
      'payload text',
      'state text',
      'progress number',
      'reason text?',
      'attempts whole',
      'worker text?',
      'lease_until text?',
      'added_at text',
      'changed_at text',
    ],
    unique: [['entry']],
  });
  for (const [name, table, columns, unique] of INDEXES) {
    const index = db.schema
      .createIndex(name)
      .on(table)
      .columns([...columns]);
    await (unique ? index.unique() : index).execute();
  }
}
