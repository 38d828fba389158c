import { badArgument, VeligridError } from '@veligrid/model';
import { append, type NewRow } from '../append.js';
import { fromRow, without, type Row } from '../columns.js';
import { together, type Context } from '../context.js';
import type { Said } from '../contract.js';
import { lastingRows } from '../known-rows.js';
import { recordsOf, type RecordTable } from '../records.js';
import type { SeasonEntry, SeasonLog, SeasonParts, SeasonVersion } from '../season-contract.js';
import {
  BATCH_ORIGIN,
  BROODSTOCK,
  CROSS_MADE,
  CULTURE,
  CULTURE_READING,
  MOVE,
  PARENTAGE,
  RATION,
  SETTING_EVENT,
  SPAT_COUNT,
  SPAWN,
  SPAWN_RESULT,
  SPERM_CHECK,
  WATER_NOTE,
  type SaidRow,
  type SeasonTable,
} from '../season-tables.js';
import type { AnimalFields, CrossFields, CultureFields, MoveFields, SpatCountFields } from '@veligrid/model';

export const BROODSTOCK_RECORDS: RecordTable<AnimalFields> = { table: BROODSTOCK };
export const CULTURE_RECORDS: RecordTable<CultureFields> = { table: CULTURE };

type Happened = { readonly happenedAt: string };
type Checks<Fields> = (parts: Context, fields: Fields) => Promise<void> | void;

/** A row as callers know it; its id is that of the first saying. */
function asVersion<Fields>(row: SaidRow<Fields>, version: number): SeasonVersion<Fields> {
  const { id, corrects } = row;
  const fields = without<SaidRow<Fields>, keyof SaidRow<Fields>>(row, 'entry', 'order', 'link', 'corrects');
  return { ...fields, id: corrects ?? id, version } as unknown as SeasonVersion<Fields>;
}

const asEntry = <Fields>(version: SeasonVersion<Fields>): SeasonEntry<Fields> =>
  without(version, 'withdrawn') as unknown as SeasonEntry<Fields>;

/** Everything said of each entry, in the order of first sayings. */
function byEntry<Fields>(rows: readonly SaidRow<Fields>[]): Map<string, SeasonVersion<Fields>[]> {
  const entries = new Map<string, SeasonVersion<Fields>[]>();
  for (const row of rows) {
    const id = row.corrects ?? row.id;
    const said = entries.get(id) ?? [];
    entries.set(id, said);
    said.push(asVersion(row, said.length + 1));
  }
  return entries;
}

/** All that was said, or what was said of one entry, oldest first. */
async function rowsOf<Fields>(
  context: Context,
  table: SeasonTable<Fields>,
  entry?: string,
): Promise<readonly SaidRow<Fields>[]> {
  let query = context.db.selectFrom(table.name).select('id').orderBy('entry');
  if (entry !== undefined)
    query = query.where((where) => where.or([where('id', '=', entry), where('corrects', '=', entry)]));
  const lasting = { table: table.name, nameOf: ({ id }: Row) => String(id), read: (row: Row) => fromRow(table, row) };
  return lastingRows(context, lasting, await query.execute());
}

const unknown = (table: string, id: string): VeligridError =>
  badArgument(`the id of a ${table}`, 'one that is kept', id);

/** What was said of an entry so far; refused when it is not there or somebody said more. */
async function seen<Fields>(
  on: Context,
  table: SeasonTable<Fields>,
  id: string,
  version: number,
): Promise<SeasonVersion<Fields>> {
  const last = byEntry(await rowsOf(on, table, id))
    .get(id)
    ?.at(-1);
  if (last === undefined) throw unknown(table.name, id);
  if (last.version === version) return last;
  const message = `${last.by} corrected this ${table.name} in the meantime. Look at it again, then correct it.`;
  throw new VeligridError('changed-meanwhile', message);
}

interface Saying<Fields> {
  readonly fields: Fields;
  readonly corrects: string | null;
  readonly withdrawn: boolean;
}

async function say<Fields>(
  on: Context,
  table: SeasonTable<Fields>,
  { fields, corrects, withdrawn }: Saying<Fields>,
  said: Said,
): Promise<SaidRow<Fields>> {
  const given = fields as Readonly<Record<string, unknown>>;
  const own = ['entry', 'id', 'order', 'by', 'at', 'link', 'why', 'corrects', 'withdrawn'];
  const keys = Object.keys(table.columns).filter((key) => !own.includes(key));
  const strange = Object.keys(given).find((key) => !keys.includes(key));
  if (strange !== undefined) throw badArgument(`a field of ${table.name}`, `one of ${keys.join(', ')}`, strange);
  const missing = keys.find((key) => given[key] === undefined);
  if (missing !== undefined) throw badArgument(`${missing} of ${table.name}`, 'given', 'nothing');
  const row = { ...fields, by: said.by, why: said.why ?? null, corrects, withdrawn };
  const [kept] = await append(on, table, [row as unknown as NewRow<SaidRow<Fields>>]);
  return kept as SaidRow<Fields>;
}

const byTime = (a: Happened, b: Happened): number =>
  a.happenedAt < b.happenedAt ? -1 : a.happenedAt > b.happenedAt ? 1 : 0;

/** Fields of an entry without what the store keeps with them. */
const fieldsOf = <Fields>(version: SeasonVersion<Fields>): Fields =>
  without(version, 'id', 'version', 'by', 'at', 'why', 'withdrawn') as unknown as Fields;

function seasonLog<Fields extends Happened>(
  context: Context,
  table: SeasonTable<Fields>,
  check: Checks<Fields> = () => undefined,
): SeasonLog<Fields> {
  return {
    append: (fields, said) =>
      together(context, async (working) => {
        await check(working, fields);
        return asEntry(asVersion(await say(working, table, { fields, corrects: null, withdrawn: false }, said), 1));
      }),
    async get(id) {
      const last = byEntry(await rowsOf(context, table, id))
        .get(id)
        ?.at(-1);
      return last === undefined || last.withdrawn ? null : asEntry(last);
    },
    async list() {
      const standing = [...byEntry(await rowsOf(context, table)).values()]
        .flatMap((said) => said.at(-1) ?? [])
        .filter(({ withdrawn }) => !withdrawn);
      return standing.map(asEntry).toSorted(byTime);
    },
    correct: (id, version, fields, said) =>
      together(context, async (working) => {
        const whole = { ...fieldsOf(await seen(working, table, id, version)), ...fields };
        await check(working, whole);
        const row = await say(working, table, { fields: whole, corrects: id, withdrawn: false }, said);
        return asEntry(asVersion(row, version + 1));
      }),
    withdraw: (id, version, said) =>
      together(context, async (working) => {
        const fields = fieldsOf(await seen(working, table, id, version));
        await say(working, table, { fields, corrects: id, withdrawn: true }, said);
      }),
    versions: async (id) => byEntry(await rowsOf(context, table, id)).get(id) ?? [],
  };
}

/** Lists of ids are no references to the database, so they are looked up. */
async function checkParents({ db }: Context, { dams, sires }: CrossFields): Promise<void> {
  for (const id of [...dams, ...sires]) {
    const found = await db.selectFrom(BROODSTOCK.name).select('id').where('id', '=', id).executeTakeFirst();
    if (found === undefined) throw badArgument('a parent of a cross', 'an animal that is kept', id);
  }
  if (dams.length === 0 || sires.length === 0) throw badArgument('the parents of a cross', 'a dam and a sire', 'none');
}

function checkLimits(_: Context, { number, low, high }: MoveFields): void {
  const exact = low === null && high === null;
  if (exact || (low !== null && high !== null && low <= number && number <= high)) return;
  throw badArgument('the limits of a number moved', 'both or none, around the number', `${low} to ${high}`);
}

function checkShells(_: Context, { shells }: SpatCountFields): void {
  if (shells < 1) throw badArgument('shells of spat_count', 'a whole number of 1 or more', shells);
}

/** What staff record of a season. */
export const seasonPart = (context: Context): SeasonParts => ({
  broodstock: recordsOf(context, BROODSTOCK_RECORDS),
  parents: seasonLog(context, PARENTAGE),
  spawns: seasonLog(context, SPAWN),
  spawnResults: seasonLog(context, SPAWN_RESULT),
  crosses: seasonLog(context, CROSS_MADE, checkParents),
  spermChecks: seasonLog(context, SPERM_CHECK),
  origins: seasonLog(context, BATCH_ORIGIN),
  moves: seasonLog(context, MOVE, checkLimits),
  cultures: recordsOf(context, CULTURE_RECORDS),
  cultureReadings: seasonLog(context, CULTURE_READING),
  rations: seasonLog(context, RATION),
  waterNotes: seasonLog(context, WATER_NOTE),
  settingEvents: seasonLog(context, SETTING_EVENT),
  spatCounts: seasonLog(context, SPAT_COUNT, checkShells),
});
