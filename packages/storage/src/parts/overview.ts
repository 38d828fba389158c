import { sql, type RawBuilder } from 'kysely';
import { columnsOf, fromRow, sqlName, without, type Row } from '../columns.js';
import type { Context } from '../context.js';
import type { Entered, EstimateFields, SampleOverview } from '../contract.js';
import { asEntered } from '../entered.js';
import { asKept } from '../records.js';
import { lastingRows, type Lasting } from '../known-rows.js';
import { ESTIMATE, SIGN_OFF } from '../log-tables.js';
import { SAMPLE } from '../record-tables.js';

/** Which samples; all when empty. */
export interface OverviewChoice {
  readonly batchId?: string;
  readonly tankId?: string;
}

/** The samples that are meant, as a condition on `s`. */
export function chosen({ batchId, tankId }: OverviewChoice): RawBuilder<unknown> {
  const batch = batchId === undefined ? sql`1 = 1` : sql`s.batch_id = ${batchId}`;
  return tankId === undefined ? batch : sql`${batch} and s.tank_id = ${tankId}`;
}

const bySample = (rows: readonly Row[]): Map<string, Row> =>
  new Map(rows.map((row) => [String(row['sample_id']), row]));

/** A sum or count as a number: some databases answer them as text, and none as null. */
const figure = (row: Row | undefined, column: string): number => Number(row?.[column] ?? 0);

interface Found {
  readonly photos: Map<string, Row>;
  readonly decisions: Map<string, Row>;
  readonly signOffs: Map<string, Row>;
  readonly estimates: Map<string, Entered<EstimateFields>[]>;
}

async function photoFigures({ db }: Context, where: RawBuilder<unknown>): Promise<Map<string, Row>> {
  const { rows } = await sql<Row>`
    select f.sample_id, count(*) as photos, count(d.photo_id) as counted_photos, sum(d.counted) as counted
    from sample s join filling f on f.sample_id = s.id join photo p on p.filling_id = f.id
    left join detections d on d.photo_id = p.id
      and d."order" = (select max(x."order") from detections x where x.photo_id = p.id)
    where ${where} group by f.sample_id`.execute(db);
  return bySample(rows);
}

/** Columns of a sign-off without what was signed, which is large. */
export const SIGN_OFF_COLUMNS: readonly string[] = columnsOf(SIGN_OFF)
  .filter(([key]) => key !== 'detections' && key !== 'payload')
  .map(([key]) => sqlName(key));

/** Last sign-offs of whole counts, without what they were signed on. */
async function signOffsOf({ db }: Context, where: RawBuilder<unknown>): Promise<Map<string, Row>> {
  const { rows } = await sql<Row>`
    select ${sql.join(SIGN_OFF_COLUMNS.map((column) => sql.ref(`o.${column}`)))}
    from sample s join sign_off o on o.sample_id = s.id
    where ${where} and o.photo_id is null and o."order" =
      (select max(x."order") from sign_off x where x.sample_id = s.id and x.photo_id is null)`.execute(db);
  return bySample(rows);
}

async function decisionsOf({ db }: Context, where: RawBuilder<unknown>): Promise<Map<string, Row>> {
  const { rows } = await sql<Row>`
    select d.sample_id, max(d."order") as last from sample s join decision d on d.sample_id = s.id
    where ${where} group by d.sample_id`.execute(db);
  return bySample(rows);
}

/** Estimates never change. */
export const LASTING_ESTIMATES: Lasting<Entered<EstimateFields>> = {
  table: ESTIMATE.name,
  nameOf: ({ id }) => String(id),
  read: (row) => asEntered<EstimateFields>(fromRow(ESTIMATE, row)),
};

async function estimatesOf(
  context: Context,
  where: RawBuilder<unknown>,
): Promise<Map<string, Entered<EstimateFields>[]>> {
  const { rows } = await sql<Row>`
    select e.id from sample s join estimate e on e.sample_id = s.id
    where ${where} and e."order" =
      (select max(x."order") from estimate x where x.sample_id = e.sample_id and x.kind = e.kind)
    order by e.entry`.execute(context.db);
  const estimates = new Map<string, Entered<EstimateFields>[]>();
  for (const estimate of await lastingRows(context, LASTING_ESTIMATES, rows)) {
    estimates.set(estimate.sampleId, [...(estimates.get(estimate.sampleId) ?? []), estimate]);
  }
  return estimates;
}

/** A sign-off as it is answered. */
export function signOffOf(row: Row): SampleOverview['signOff'] & object {
  const whole = fromRow(SIGN_OFF, { ...row, detections: '{}', payload: null });
  return without(whole, 'entry', 'link', 'detections', 'payload');
}

/** Samples in the order they were taken, each with its figures. */
export async function samplesOverview(context: Context, choice: OverviewChoice): Promise<SampleOverview[]> {
  const where = chosen(choice);
  const { rows } = await sql<Row>`
    select s.* from sample s where ${where} order by s.taken_at, s.entry`.execute(context.db);
  const found: Found = {
    photos: await photoFigures(context, where),
    decisions: await decisionsOf(context, where),
    signOffs: await signOffsOf(context, where),
    estimates: await estimatesOf(context, where),
  };
  return rows.map((row) => {
    const sample = asKept({ table: SAMPLE }, row);
    const [photos, signOff] = [found.photos.get(sample.id), found.signOffs.get(sample.id)];
    return {
      sample,
      photos: figure(photos, 'photos'),
      countedPhotos: figure(photos, 'counted_photos'),
      counted: figure(photos, 'counted'),
      lastDecision: figure(found.decisions.get(sample.id), 'last'),
      signOff: signOff === undefined ? null : signOffOf(signOff),
      estimates: found.estimates.get(sample.id) ?? [],
    };
  });
}
