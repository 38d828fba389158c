import { verdictOf, type Stay, type Verdict } from '@veligrid/hatchery';
import type { Limits } from '@veligrid/estimation';
import type { Kept, TankFields } from '@veligrid/storage';
import type { Desk } from '../record/desk.js';
import type { Happening } from '../history/happening.js';
import { byTime } from '../history/history-of.js';
import { counted, fed, moved, watered, type Asked } from '../history/in-tanks.js';
import { planned } from '../history/planned.js';
import { readSeason, type Season } from '../history/read-season.js';
import { balanceSheet, type BalanceSheet } from './balance-of-batch.js';
import { tanksNow, type TankNow } from './batch-season.js';
import type { Named } from '../history/house-names.js';
import { namedBy } from './counted-samples.js';
import { refusedOf, type RefusedEntry } from './refused-of.js';

/** A count of a tank beside what ought to have been there. */
export interface TankCounted {
  readonly sample: Named;
  readonly batch: Named;
  readonly at: string;
  readonly expected: Limits;
  readonly alive: Limits;
  readonly unexplained: Limits;
  readonly verdict: Verdict;
}

/** All that is known of a tank. */
export interface TankSeason {
  readonly tank: Pick<Kept<TankFields>, 'id' | 'name' | 'volumeMl' | 'note'>;
  /** What is in it; null when it is empty. */
  readonly now: (TankNow & { readonly batch: Named }) | null;
  /** Batches that were in it, latest first. */
  readonly stays: readonly { readonly batch: Named; readonly beganAt: string; readonly endedAt: string | null }[];
  readonly counts: readonly TankCounted[];
  /** Of what is in it now; null when it is empty. */
  readonly balance: BalanceSheet | null;
  readonly timeline: readonly Happening[];
  readonly refused: readonly RefusedEntry[];
}

const countedIn = (season: Season, { batchId, counts }: Stay): TankCounted[] =>
  counts.map(({ count, expected, unexplained }) => ({
    sample: namedBy(season, count.id),
    batch: namedBy(season, batchId),
    at: count.happenedAt,
    expected,
    alive: count.alive,
    unexplained,
    verdict: verdictOf(unexplained, expected.estimate),
  }));

/** All that is known of a tank, worked out from what is recorded. */
export async function tankSeason(desk: Desk, tank: Kept<TankFields>): Promise<TankSeason> {
  const { id, name, volumeMl, note } = tank;
  const season = await readSeason(desk.parts);
  const own = season.ledger.stays.filter(({ tankId }) => tankId === id);
  const last = own.find(({ endedAt }) => endedAt === null);
  const [now] = await tanksNow(desk, season, own);
  const { stays } = season.ledger;
  const { names } = season;
  const asked: Asked = { isMeant: (_batchId, tankId) => tankId === id, stays, names };
  const inAndOut = season.moves.filter(({ fromTankId, toTankId }) => fromTankId === id || toTankId === id);
  const timeline = byTime([
    ...moved(inAndOut, { ...asked, isMeant: () => true }),
    ...counted(await desk.parts.samples.overview({ tankId: id }), asked),
    ...(await fed(desk, asked)),
    ...(await watered(desk, asked)),
    ...planned(await desk.parts.plans.list({ tankId: id }), asked),
  ]);
  return {
    tank: { id, name, volumeMl, note },
    now: now === undefined || last === undefined ? null : { ...now, batch: namedBy(season, last.batchId) },
    stays: own
      .map(({ batchId, beganAt, endedAt }) => ({ batch: namedBy(season, batchId), beganAt, endedAt }))
      .toReversed(),
    counts: own.flatMap((stay) => countedIn(season, stay)),
    balance: last === undefined ? null : balanceSheet(season, [last]),
    timeline,
    refused: refusedOf(season, ({ tankIds }) => tankIds.includes(id)),
  };
}
