import { sql } from 'kysely';
import type { Row } from '../columns.js';
import type { Context } from '../context.js';
import type { SampleFields, SampleOverview, StandingSample } from '../contract.js';
import { lastingRows, type Lasting } from '../known-rows.js';
import { SIGN_OFF } from '../log-tables.js';
import { SAMPLE } from '../record-tables.js';
import { lastingRecords } from '../records.js';
import { chosen, LASTING_ESTIMATES, SIGN_OFF_COLUMNS, signOffOf, type OverviewChoice } from './overview.js';

const SAMPLES = lastingRecords<SampleFields>({ table: SAMPLE });

const idOf = ({ id }: Row): string => String(id);

const SIGN_OFFS: Lasting<SampleOverview['signOff'] & object> = {
  table: SIGN_OFF.name,
  nameOf: idOf,
  read: signOffOf,
  columns: SIGN_OFF_COLUMNS,
};

const named = (rows: readonly Row[], column: string): Row[] =>
  rows.flatMap((row) => (row[column] === null ? [] : [{ id: row[column] }]));

/** Samples in the order they were taken, with the sign-off and the count that stand; nothing of photos is read. */
export async function standingSamples(context: Context, choice: OverviewChoice): Promise<StandingSample[]> {
  const { rows } = await sql<Row>`
    select s.id, s.revision, o.id as sign_off, e.id as count from sample s
    left join sign_off o on o.sample_id = s.id and o.photo_id is null and o."order" =
      (select max(x."order") from sign_off x where x.sample_id = s.id and x.photo_id is null)
    left join estimate e on e.sample_id = s.id and e.kind = 'count' and e."order" =
      (select max(x."order") from estimate x where x.sample_id = s.id and x.kind = 'count')
    where ${chosen(choice)} order by s.taken_at, s.entry`.execute(context.db);
  const samples = await lastingRows(context, SAMPLES, rows);
  const signOffs = await byId(lastingRows(context, SIGN_OFFS, named(rows, 'sign_off')));
  const counts = await byId(lastingRows(context, LASTING_ESTIMATES, named(rows, 'count')));
  const told = new Map(rows.map((row) => [idOf(row), row]));
  return samples.map((sample) => {
    const row = told.get(sample.id);
    const count = counts.get(String(row?.['count']));
    return {
      sample,
      signOff: signOffs.get(String(row?.['sign_off'])) ?? null,
      estimates: count === undefined ? [] : [count],
    };
  });
}

const byId = async <R extends { readonly id: string }>(rows: Promise<R[]>): Promise<Map<string, R>> =>
  new Map((await rows).map((row) => [row.id, row]));
