import type { AsyncLocalStorage } from 'node:async_hooks';
import { sql } from 'kysely';
import { fromRow, type Row } from '../columns.js';
import type { Context } from '../context.js';
import type { Entered, EstimateFields, StandingSample } from '../contract.js';
import { asEntered } from '../entered.js';
import { ESTIMATE } from '../log-tables.js';
import { SAMPLE } from '../record-tables.js';
import { asKept } from '../records.js';
import { chosen, signOffOf, signOffsOf, type OverviewChoice } from './overview.js';

type Estimate = Entered<EstimateFields>;

/** Estimates that were read before, by id: they never change, and thousands take long to read. */
class ReadEstimates {
  /** Some 10 kB each. */
  static readonly #MOST = 20_000;
  readonly #byId = new Map<string, Estimate>();

  get(id: string): Estimate | undefined {
    return this.#byId.get(id);
  }

  add(estimate: Estimate): void {
    if (this.#byId.size >= ReadEstimates.#MOST) this.#byId.clear();
    this.#byId.set(estimate.id, estimate);
  }
}

/** One for each store that is open, whatever transaction asks. */
const READ = new WeakMap<AsyncLocalStorage<unknown>, ReadEstimates>();

function readOf({ running }: Context): ReadEstimates {
  const there = READ.get(running) ?? new ReadEstimates();
  READ.set(running, there);
  return there;
}

/** More ids than this in one question are too many for some databases. */
const AT_ONCE = 500;

/** Estimates by id, each read once. */
async function estimatesBy(context: Context, ids: readonly string[]): Promise<ReadEstimates> {
  const read = readOf(context);
  const missing = ids.filter((id) => read.get(id) === undefined);
  for (let i = 0; i < missing.length; i += AT_ONCE) {
    const some = missing.slice(i, i + AT_ONCE);
    const rows = await context.db.selectFrom(ESTIMATE.name).selectAll().where('id', 'in', some).execute();
    for (const row of rows) read.add(asEntered<EstimateFields>(fromRow(ESTIMATE, row)));
  }
  return read;
}

/** The last estimate of each sample's count, by sample. */
async function lastCounts(context: Context, choice: OverviewChoice): Promise<Map<string, Estimate>> {
  const { rows } = await sql<Row>`
    select e.id, e.sample_id from estimate e
    join (select x.sample_id, max(x."order") as last from estimate x join sample s on s.id = x.sample_id
      where x.kind = 'count' and ${chosen(choice)} group by x.sample_id) l
    on l.sample_id = e.sample_id and l.last = e."order"`.execute(context.db);
  const read = await estimatesBy(
    context,
    rows.map(({ id }) => String(id)),
  );
  const found = rows.map(({ id, sample_id: sampleId }) => [String(sampleId), read.get(String(id))] as const);
  return new Map(found.flatMap(([sampleId, estimate]) => (estimate === undefined ? [] : [[sampleId, estimate]])));
}

/** Samples in the order they were taken, with the sign-off and the count that stand; nothing of photos is read. */
export async function standingSamples(context: Context, choice: OverviewChoice): Promise<StandingSample[]> {
  const { rows } = await sql<Row>`
    select s.* from sample s where ${chosen(choice)} order by s.taken_at, s.entry`.execute(context.db);
  const signOffs = await signOffsOf(context, chosen(choice));
  const counts = await lastCounts(context, choice);
  return rows.map((row) => {
    const sample = asKept({ table: SAMPLE }, row);
    const count = counts.get(sample.id);
    return { sample, signOff: signOffOf(signOffs.get(sample.id)), estimates: count === undefined ? [] : [count] };
  });
}
