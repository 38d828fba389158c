import type { Detection, PhotoCount } from '@veligrid/model';
import { canonicalJson, columnsOf, sqlName, without, type AnyTable, type Column } from '../columns.js';
import { DETECTIONS } from '../log-tables.js';
import { SIGN_IN } from '../record-tables.js';
import { TABLES } from '../tables.js';

/** A field of a table as the data package describes it (Frictionless Table Schema 1, specs.frictionlessdata.io/table-schema). */
export interface Field {
  readonly name: string;
  readonly type: 'string' | 'integer' | 'number' | 'boolean' | 'datetime' | 'object' | 'array' | 'any';
  readonly format?: 'any';
  readonly description: string;
  readonly unit?: string;
  readonly constraints?: { readonly enum: readonly string[] };
}

type Described = Pick<Column<unknown>, 'holds' | 'about' | 'unit' | 'choices'>;

const TYPES: Readonly<Record<Column<unknown>['holds'], Field['type']>> = {
  text: 'string',
  choice: 'string',
  whole: 'integer',
  number: 'number',
  'yes-no': 'boolean',
  time: 'datetime',
  json: 'any',
  bytes: 'any',
};

/** A column as a field. */
export const fieldOf = (name: string, { holds, about, unit, choices }: Described): Field => ({
  name,
  type: TYPES[holds],
  ...(holds === 'time' ? { format: 'any' } : {}),
  description: about,
  ...(unit === undefined ? {} : { unit }),
  ...(choices === undefined ? {} : { constraints: { enum: choices } }),
});

/** Tables of an export. Sign-ins are keys to the house, not records, and go along only when asked for. */
export const exportedTables = (withPasswords: boolean): readonly AnyTable[] =>
  TABLES.filter((table) => withPasswords || table !== (SIGN_IN as AnyTable));

/** The column that stands in for the packed count: the whole count without its detections. */
export const HEAD = 'count';

/** Columns of a table's file; the packed count is written as JSON, its detections in a file of their own. */
export const fileColumns = (table: AnyTable): [string, Column<unknown>][] =>
  columnsOf(table).filter(([key]) => table.name !== DETECTIONS.name || key !== 'payload');

/** Fields of a table's file. */
export function fieldsOf(table: AnyTable): Field[] {
  const fields = fileColumns(table).map(([key, column]) => fieldOf(sqlName(key), column));
  const head = { holds: 'json', about: 'the whole count but its detections, which are in larvae.csv' } as const;
  return table.name === DETECTIONS.name ? [...fields, fieldOf(HEAD, head)] : fields;
}

/** One column of the file of detections: a key of a detection. */
interface LarvaColumn {
  readonly key: keyof Detection;
  readonly name: string;
  readonly described: Described;
}

const column = (
  key: keyof Detection,
  name: string,
  holds: Described['holds'],
  [about, unit]: readonly [about: string, unit?: string],
): LarvaColumn => ({ key, name, described: { holds, about, ...(unit === undefined ? {} : { unit }) } });

/** What is told of each detection, in tidy columns. */
export const LARVA_COLUMNS: readonly LarvaColumn[] = [
  column('id', 'id', 'text', ['id in its photo']),
  column('x', 'x_px', 'number', ['centroid', 'px']),
  column('y', 'y_px', 'number', ['centroid', 'px']),
  column('kind', 'kind', 'text', ['what the finder took it for']),
  column('stage', 'stage', 'text', ['likeliest stage, before any decision']),
  column('form', 'form', 'text', ['normal, abnormal or not judged; empty where forms are not told']),
  column('lengthUm', 'length_um', 'number', ['length; empty without a scale', 'um']),
  column('lengthStandardUncertaintyUm', 'length_standard_uncertainty_um', 'number', ['standard uncertainty', 'um']),
  column('heightUm', 'height_um', 'number', ['height; empty without a scale', 'um']),
  column('axisDeg', 'axis_deg', 'number', ['direction of the length, clockwise from x', 'deg']),
  column('areaUm2', 'area_um2', 'number', ['area; empty without a scale', 'um2']),
  column('equivalentDiameterUm', 'equivalent_diameter_um', 'number', ['diameter of a disc of that area', 'um']),
  column('confidence', 'confidence', 'number', ['probability that the stage is right, 0 to 1']),
  column('square', 'square', 'text', ['ruled square that holds the centroid']),
  column('counted', 'counted', 'yes-no', ['an egg, embryo or larva, and not cut']),
  column('inArea', 'in_area', 'yes-no', ['belongs to the counted area']),
  column('inclusionWeight', 'inclusion_weight', 'number', ['weight in figures of lengths']),
  column('flags', 'flags', 'json', ['flags']),
  column('stageProbabilities', 'stage_probabilities', 'json', ['probability of each stage']),
  column('outline', 'outline_px', 'json', ['outline, x and y in px', 'px']),
  column('measures', 'measures', 'json', ['geometry']),
  column('features', 'features', 'json', ['numbers that learning needs']),
];

/** Name of the file with a row for each detection. */
export const LARVAE = 'larvae';

export const LARVA_FIELDS: readonly Field[] = [
  fieldOf('detections_id', { holds: 'text', about: 'row of detections.csv it belongs to' }),
  ...LARVA_COLUMNS.map(({ name, described }) => fieldOf(name, described)),
  fieldOf('whole', { holds: 'json', about: 'the whole detection, where the other columns do not say all of it' }),
];

/** A value as a CSV says it: text as it is, everything else as JSON, nothing for what is missing. */
export const cell = (value: unknown): string =>
  typeof value === 'string' ? value : value === null || value === undefined ? '' : canonicalJson(value);

/** A detection as its row says it. */
export function fromLarvaRow(row: Readonly<Record<string, string>>): Detection {
  const { whole = '' } = row;
  if (whole !== '') return JSON.parse(whole) as Detection;
  const entries = LARVA_COLUMNS.flatMap(({ key, name, described }): [string, unknown][] => {
    const said = row[name] ?? '';
    if (said === '') return key === 'form' ? [] : [[key, null]];
    return [[key, described.holds === 'text' ? said : (JSON.parse(said) as unknown)]];
  });
  return Object.fromEntries(entries) as unknown as Detection;
}

/** The cells of a detection's row. */
export function larvaRow(detectionsId: string, detection: Detection): string[] {
  const cells = LARVA_COLUMNS.map(({ key }) => cell(detection[key]));
  const back = fromLarvaRow(Object.fromEntries(LARVA_COLUMNS.map(({ name }, i) => [name, cells[i] ?? ''])));
  const text = canonicalJson(detection);
  return [detectionsId, ...cells, canonicalJson(back) === text ? '' : text];
}

/** A count without its detections. */
export const headOf = (count: PhotoCount): Omit<PhotoCount, 'detections'> => without(count, 'detections');
