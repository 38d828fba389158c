import { sql } from 'kysely';
import { badArgument, VeligridError } from '@veligrid/model';
import { append, lastOf } from '../append.js';
import { canonicalJson, fromRow, without, type Row } from '../columns.js';
import { together, type Context, type Working } from '../context.js';
import type { Appended, DecisionEntry, DecisionFields, DecisionLog, SignOffEntry, SignOffLog } from '../contract.js';
import { enter, rowsOf } from '../entered.js';
import { DECISION, SIGN_OFF, type DecisionRow, type SignOffRow } from '../log-tables.js';

const asDecision = ({ at, decidedAt, ...row }: DecisionRow): DecisionEntry => ({
  ...without(row, 'entry', 'link'),
  at: decidedAt,
  keptAt: at,
});

async function after({ db }: Context, sampleId: string, order: number): Promise<DecisionEntry[]> {
  const rows = await db
    .selectFrom(DECISION.name)
    .selectAll()
    .where('sample_id', '=', sampleId)
    .where('order', '>', order)
    .orderBy('order')
    .execute();
  return rows.map((row) => asDecision(fromRow(DECISION, row)));
}

/** Photos of a sample by id, each with its counts in force. */
async function photosOf({ db }: Context, sampleId: string): Promise<ReadonlyMap<string, string | null>> {
  const { rows } = await sql<Row>`
    select p.id, d.id as detections from filling f join photo p on p.filling_id = f.id
    left join detections d on d.photo_id = p.id
      and d."order" = (select max(x."order") from detections x where x.photo_id = p.id)
    where f.sample_id = ${sampleId}`.execute(db);
  return new Map(rows.map((row) => [row['id'] as string, row['detections'] as string | null]));
}

/** The decisions as they are kept already, when all of them are; null when none is. */
function sentAgain(kept: readonly DecisionEntry[], decisions: readonly DecisionFields[]): DecisionEntry[] | null {
  const found = decisions.flatMap(({ id }) => kept.filter((one) => one.id === id));
  if (found.length === 0) return null;
  const same = decisions.every((one, i) => {
    const { id, payload } = found[i] ?? {};
    return id === one.id && canonicalJson(payload) === canonicalJson(one.payload);
  });
  if (!same) throw badArgument('the id of a decision', 'one that no other has', found[0]?.id);
  return found;
}

async function appendIn(
  working: Working,
  sampleId: string,
  known: number,
  decisions: readonly DecisionFields[],
): Promise<Appended> {
  const newer = await after(working, sampleId, known);
  const last = newer.at(-1)?.order ?? (await lastOf(working, DECISION, { sampleId }))?.order ?? 0;
  const again = sentAgain(newer, decisions);
  if (again !== null) return { kind: 'appended', last, entries: again };
  if (last < known) throw badArgument('the last decision known', `${last} or less`, known);
  if (newer.length > 0) return { kind: 'conflict', last, newer };
  const photos = await photosOf(working, sampleId);
  const strange = decisions.find(({ photoId }) => photoId !== null && !photos.has(photoId));
  if (strange !== undefined) throw badArgument('the photo of a decision', 'one of its sample', strange.photoId);
  const rows = decisions.map(({ at, ...decision }) => ({ ...decision, sampleId, decidedAt: at }));
  const entries = (await append(working, DECISION, rows)).map(asDecision);
  return { kind: 'appended', last: entries.at(-1)?.order ?? last, entries };
}

/** What staff decided. */
export const decisionsPart = (context: Context): DecisionLog => ({
  append: (sampleId, known, decisions) => together(context, (working) => appendIn(working, sampleId, known, decisions)),
  ofSample: (sampleId, known = 0) => after(context, sampleId, known),
});

const asSignOff = (row: SignOffRow): SignOffEntry => without(row, 'entry', 'link');

const changed = (what: string): VeligridError =>
  new VeligridError('changed-meanwhile', `${what} in the meantime. Look at the sample again, then sign off.`);

/** What staff signed off. */
export const signOffsPart = (context: Context): SignOffLog => ({
  append: (fields, said) =>
    together(context, async (working) => {
      const last = await lastOf(working, DECISION, { sampleId: fields.sampleId });
      if ((last?.order ?? 0) !== fields.decisions) throw changed(`${last?.by ?? 'Somebody'} decided something`);
      const photos = await photosOf(working, fields.sampleId);
      for (const [photo, detections] of Object.entries(fields.detections)) {
        if (!photos.has(photo)) throw badArgument('a photo to sign off', 'one of its sample', photo);
        if (photos.get(photo) !== detections) throw changed('A photo was counted anew');
      }
      return asSignOff(await enter(working, SIGN_OFF, { ...fields, why: said.why ?? null }, said));
    }),
  ofSample: async (sampleId) => (await rowsOf(context, SIGN_OFF, { sampleId })).map(asSignOff),
});
