import { sql } from 'kysely';
import { type Row } from '../columns.js';
import type { Context } from '../context.js';
import type {
  BatchFields,
  FillingFields,
  Kept,
  MicroscopeFields,
  OpenSample,
  Parts,
  PhotoFields,
  SampleFields,
  TankFields,
} from '../contract.js';
import { asKept, recordsOf, type RecordTable } from '../records.js';
import { BATCH, FILLING, MICROSCOPE, PHOTO, SAMPLE, TANK } from '../record-tables.js';
import { samplesOverview } from './overview.js';
import { standingSamples } from './standing.js';

export const MICROSCOPE_RECORDS: RecordTable<MicroscopeFields> = { table: MICROSCOPE };
export const BATCH_RECORDS: RecordTable<BatchFields> = { table: BATCH };
export const TANK_RECORDS: RecordTable<TankFields> = { table: TANK };
export const SAMPLE_RECORDS: RecordTable<SampleFields> = { table: SAMPLE };
export const FILLING_RECORDS: RecordTable<FillingFields> = { table: FILLING };
export const PHOTO_RECORDS: RecordTable<PhotoFields> = { table: PHOTO };

/** Fillings of samples. */
export const fillingsPart = (context: Context): Parts['fillings'] => ({
  ...recordsOf(context, FILLING_RECORDS),
  async ofSample(sampleId): Promise<Kept<FillingFields>[]> {
    const rows = await context.db
      .selectFrom(FILLING.name)
      .selectAll()
      .where('sample_id', '=', sampleId)
      .orderBy('number')
      .execute();
    return rows.map((row) => asKept(FILLING_RECORDS, row));
  },
});

/** Photos of fillings. */
export const photosPart = (context: Context): Parts['photos'] => ({
  ...recordsOf(context, PHOTO_RECORDS),
  async ofSample(sampleId): Promise<Kept<PhotoFields>[]> {
    const { rows } = await sql<Row>`
      select p.* from filling f join photo p on p.filling_id = f.id
      where f.sample_id = ${sampleId} order by f.number, p.entry`.execute(context.db);
    return rows.map((row) => asKept(PHOTO_RECORDS, row));
  },
});

type Belonging = Pick<Parts, 'fillings' | 'photos' | 'detections' | 'decisions' | 'signOffs' | 'estimates'>;

/** Samples with all that belongs to them. */
export function samplesPart(context: Context, parts: Belonging): Parts['samples'] {
  const samples = recordsOf(context, SAMPLE_RECORDS);
  return {
    ...samples,
    async open(id): Promise<OpenSample | null> {
      const sample = await samples.get(id);
      if (sample === null) return null;
      return {
        sample,
        fillings: await parts.fillings.ofSample(id),
        photos: await parts.photos.ofSample(id),
        detections: await parts.detections.ofSample(id),
        decisions: await parts.decisions.ofSample(id),
        signOffs: await parts.signOffs.ofSample(id),
        estimates: await parts.estimates.ofSample(id),
      };
    },
    overview: (choice = {}) => samplesOverview(context, choice),
    standing: (choice = {}) => standingSamples(context, choice),
  };
}
