import { fromRow, toRow, without } from '../columns.js';
import { nextEntry, together, type Context } from '../context.js';
import type { Job, JobHold, JobTable } from '../contract.js';
import { JOB } from '../record-tables.js';

type JobRow = Job & { readonly entry: number };

const asJob = (row: JobRow): Job => without(row, 'entry');
const later = (at: string, ms: number): string => new Date(Date.parse(at) + ms).toJSON();

/** Changes a job as long as its worker still holds it. */
const changeHeld = (context: Context, { id, attempt }: JobHold, values: Partial<Job>): Promise<boolean> =>
  together(context, async ({ db, now }) => {
    const { numUpdatedRows } = await db
      .updateTable(JOB.name)
      .set(toRow(JOB, { ...values, changedAt: now() }))
      .where('id', '=', id)
      .where('state', '=', 'running')
      .where('attempts', '=', attempt)
      .executeTakeFirst();
    return numUpdatedRows > 0n;
  });

/** Changes a job as long as it is in one of these states. */
const changeIn = (
  context: Context,
  id: string,
  states: readonly Job['state'][],
  values: Partial<Job>,
): Promise<boolean> =>
  together(context, async ({ db, now }) => {
    const { numUpdatedRows } = await db
      .updateTable(JOB.name)
      .set(toRow(JOB, { ...values, worker: null, leaseUntil: null, changedAt: now() }))
      .where('id', '=', id)
      .where('state', 'in', states)
      .executeTakeFirst();
    return numUpdatedRows > 0n;
  });

/** Gives back what a worker held. */
const release = (context: Context, worker: string): Promise<number> =>
  together(context, async ({ db, now }) => {
    const { numUpdatedRows } = await db
      .updateTable(JOB.name)
      .set(toRow(JOB, { state: 'waiting', worker: null, leaseUntil: null, changedAt: now() }))
      .where('state', '=', 'running')
      .where('worker', '=', worker)
      .executeTakeFirst();
    return Number(numUpdatedRows);
  });

interface Claim {
  readonly worker: string;
  readonly kinds: readonly string[];
  readonly leaseMs: number;
}

/** The job that has waited longest, or whose lease has ended. */
async function nextJob(on: Context, { kinds, leaseMs }: Claim, now: string): Promise<JobRow | null> {
  if (kinds.length === 0) return null;
  const row = await on.db
    .selectFrom(JOB.name)
    .selectAll()
    .where('kind', 'in', kinds)
    .where((eb) =>
      eb.or([
        eb('state', '=', 'waiting'),
        eb.and([
          eb('state', '=', 'running'),
          // one further away than any lease reaches: the clock was set back since
          eb.or([eb('lease_until', '<=', now), eb('lease_until', '>', later(now, leaseMs))]),
        ]),
      ]),
    )
    .orderBy('entry')
    .limit(1)
    .executeTakeFirst();
  return row === undefined ? null : fromRow(JOB, row);
}

async function claim(context: Context, asked: Claim): Promise<Job | null> {
  // workers that find nothing to do, as most do most of the time, keep nobody from writing
  if ((await nextJob(context, asked, await context.commonNow())) === null) return null;
  return together(context, async (working) => {
    const { worker, leaseMs } = asked;
    const now = await working.commonNow();
    const leaseUntil = later(now, leaseMs);
    const before = await nextJob(working, asked, now);
    if (before === null) return null;
    const held = { state: 'running', attempts: before.attempts + 1, worker, leaseUntil, changedAt: now } as const;
    await working.db
      .updateTable(JOB.name)
      .set(toRow(JOB, { ...held, progress: 0 }))
      .where('id', '=', before.id)
      .execute();
    return asJob({ ...before, ...held, progress: 0 });
  });
}

async function add(context: Context, jobs: Parameters<JobTable['add']>[0]): Promise<Job[]> {
  return together(context, async (working) => {
    const addedAt = working.now();
    let entry = await nextEntry(working, JOB.name);
    const added: Job[] = [];
    for (const job of jobs) {
      const whole: JobRow = {
        id: working.newId(),
        kind: job.kind,
        subject: job.subject,
        payload: job.payload,
        state: 'waiting',
        progress: 0,
        reason: null,
        attempts: 0,
        worker: null,
        leaseUntil: null,
        addedAt,
        changedAt: addedAt,
        entry,
      };
      await working.db.insertInto(JOB.name).values(toRow(JOB, whole)).execute();
      added.push(asJob(whole));
      entry += 1;
    }
    return added;
  });
}

async function list({ db }: Context, choice: Parameters<JobTable['list']>[0] = {}): Promise<Job[]> {
  const { state, subjects } = choice;
  let query = db.selectFrom(JOB.name).selectAll().orderBy('entry');
  if (state !== undefined) query = query.where('state', '=', state);
  if (subjects?.length === 0) return [];
  if (subjects !== undefined) query = query.where('subject', 'in', subjects);
  return (await query.execute()).map((row) => asJob(fromRow(JOB, row)));
}

/** Work for the background. */
export function jobsPart(context: Context): JobTable {
  return {
    add: (jobs) => add(context, jobs),
    async get(id) {
      const row = await context.db.selectFrom(JOB.name).selectAll().where('id', '=', id).executeTakeFirst();
      return row === undefined ? null : asJob(fromRow(JOB, row));
    },
    list: (choice) => list(context, choice),
    claim: (worker, kinds, leaseMs) => claim(context, { worker, kinds, leaseMs }),
    progress: async (hold, progress, leaseMs) =>
      changeHeld(context, hold, { progress, leaseUntil: later(await context.commonNow(), leaseMs) }),
    done: (hold) => changeHeld(context, hold, { state: 'done', progress: 1, reason: null, leaseUntil: null }),
    failed: (hold, reason, again) =>
      changeHeld(context, hold, { state: again ? 'waiting' : 'failed', reason, leaseUntil: null, worker: null }),
    retry: (id) => changeIn(context, id, ['failed', 'cancelled'], { state: 'waiting', progress: 0 }),
    cancel: (id) => changeIn(context, id, ['waiting', 'running'], { state: 'cancelled' }),
    release: (worker) => release(context, worker),
  };
}
