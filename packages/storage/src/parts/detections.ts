import { sql } from 'kysely';
import { fromRow, type Row } from '../columns.js';
import { together, type Context } from '../context.js';
import type { DetectionsFields, DetectionsLog, Entered } from '../contract.js';
import { lastOf } from '../append.js';
import { enter, rowById, rowsOf } from '../entered.js';
import { DETECTIONS, type DetectionsRow } from '../log-tables.js';
import { checkCount, packCount, unpackCount } from './packed-count.js';

const asDetections = (row: DetectionsRow): Entered<DetectionsFields> => ({
  id: row.id,
  by: row.by,
  at: row.at,
  photoId: row.photoId,
  count: unpackCount(row, row.photoId),
});

/** Counts in force of all photos of a sample, by filling and then as the photos were added. */
async function inForce({ db }: Context, sampleId: string): Promise<DetectionsRow[]> {
  const { rows } = await sql<Row>`
    select d.* from filling f join photo p on p.filling_id = f.id join detections d on d.photo_id = p.id
    where f.sample_id = ${sampleId}
      and d."order" = (select max(x."order") from detections x where x.photo_id = p.id)
    order by f.number, p.entry`.execute(db);
  return rows.map((row) => fromRow(DETECTIONS, row));
}

/** What the method saw. */
export function detectionsPart(context: Context): DetectionsLog {
  return {
    async add({ photoId, count }, said) {
      checkCount(photoId, count);
      // packed before the transaction begins: nobody has to wait for it
      const packed = packCount(count);
      const { name, version, finderVersion, rulesVersion } = count.method;
      const row = {
        ...packed,
        photoId,
        methodName: name,
        methodVersion: version,
        finderVersion,
        rulesVersion,
        objects: count.detections.length,
        counted: count.detections.filter(({ counted, inArea, sameAs }) => counted && inArea && sameAs === undefined)
          .length,
      };
      return together(context, async (working) => {
        const last = await lastOf(working, DETECTIONS, { photoId });
        const { id, by, at } = last?.sha256 === packed.sha256 ? last : await enter(working, DETECTIONS, row, said);
        return { id, by, at, photoId, count };
      });
    },
    async get(id) {
      const row = await rowById(context, DETECTIONS, id);
      return row === null ? null : asDetections(row);
    },
    ofSample: async (sampleId) => (await inForce(context, sampleId)).map(asDetections),
    ofPhoto: async (photoId) => (await rowsOf(context, DETECTIONS, { photoId })).map(asDetections),
  };
}
