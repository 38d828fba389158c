import { presentIn, type Figure, type FigureBook, type Stay } from '@veligrid/hatchery';
import type { Limits } from '@veligrid/estimation';
import type { BatchFields, Kept } from '@veligrid/storage';
import type { Desk } from '../record/desk.js';
import type { Happening } from '../history/happening.js';
import { happeningsOf } from '../history/history-of.js';
import { pedigreeView, type NamedPedigree } from '../history/pedigree-view.js';
import { readSeason, type Season } from '../history/read-season.js';
import { balanceSheet, type BalanceSheet } from './balance-of-batch.js';
import type { Named } from '../history/house-names.js';
import { ageAt, countedSamples, namedBy, type CountedSample } from './counted-samples.js';
import { growthOf, type GrowthCourse } from './growth-of.js';
import { refusedOf, type RefusedEntry } from './refused-of.js';
import { survivalOf, type SurvivalCourse } from './survival-of.js';

/** Where some of a batch is now. */
export interface TankNow {
  readonly tank: Named;
  readonly since: string;
  /** There if none died since the last count. */
  readonly present: Limits;
  /** Present over the volume of the tank; null when the volume is not known. */
  readonly densityPerMl: Limits | null;
  readonly lastCount: { readonly sample: Named; readonly at: string; readonly alive: Limits } | null;
}

/** All that is known of a batch. */
export interface BatchSeason {
  readonly batch: Pick<Kept<BatchFields>, 'id' | 'name' | 'species' | 'spawnedAt' | 'note'>;
  /** Days after fertilisation; null when that is not known. */
  readonly ageDays: number | null;
  readonly now: readonly TankNow[];
  /** Photos of each: 0 for a count by eye. */
  readonly counts: readonly (CountedSample & { readonly photos: number })[];
  readonly growth: GrowthCourse;
  readonly survival: SurvivalCourse;
  readonly timeline: readonly Happening[];
  readonly balance: BalanceSheet;
  readonly pedigree: NamedPedigree;
  readonly refused: readonly RefusedEntry[];
  readonly figures: readonly Figure[];
}

const scaled = ({ estimate, low, high }: Limits, by: number): Limits => ({
  estimate: estimate * by,
  low: low * by,
  high: high * by,
});

/** Tanks that stays last in. */
export async function tanksNow({ parts }: Desk, season: Season, stays: readonly Stay[]): Promise<TankNow[]> {
  const tanks = await parts.tanks.list();
  return stays
    .filter(({ endedAt }) => endedAt === null)
    .map((stay) => {
      const last = stay.counts.at(-1);
      const present = presentIn(stay);
      const volumeMl = tanks.find(({ id }) => id === stay.tankId)?.volumeMl ?? null;
      return {
        tank: namedBy(season, stay.tankId),
        since: stay.beganAt,
        present,
        densityPerMl: volumeMl === null ? null : scaled(present, 1 / volumeMl),
        lastCount:
          last === undefined
            ? null
            : { sample: namedBy(season, last.count.id), at: last.count.happenedAt, alive: last.count.alive },
      };
    });
}

/** Mean of the temperatures that were noted in tanks while a batch was in them; null without any. */
function meanTemperature(timeline: readonly Happening[], batchId: string): number | null {
  const noted = timeline
    .filter(({ kind, batch }) => kind === 'water' && batch?.id === batchId)
    .flatMap(({ facts }) => facts.filter(({ what }) => what === 'temperature'))
    .flatMap(({ number }) => (number === undefined ? [] : [number]));
  return noted.length === 0 ? null : noted.reduce((sum, one) => sum + one, 0) / noted.length;
}

const photosOf = (timeline: readonly Happening[], sampleId: string): number =>
  timeline.find(({ entries }) => entries[0]?.id === sampleId)?.photos ?? 0;

/**
 * All that is known of a batch, worked out from what is recorded.
 *
 * @param book figures of its species
 */
export async function batchSeason(desk: Desk, batch: Kept<BatchFields>, book: FigureBook): Promise<BatchSeason> {
  const { id, name, species, spawnedAt, note } = batch;
  const season = await readSeason(desk.parts);
  const own = season.ledger.stays.filter(({ batchId }) => batchId === id);
  const timeline = await happeningsOf(desk, season, id);
  const counts = countedSamples(season, batch);
  const growth = growthOf(counts, meanTemperature(timeline, id), book);
  const survival = survivalOf(season, batch, book);
  return {
    batch: { id, name, species, spawnedAt, note },
    ageDays: ageAt(spawnedAt, desk.now()),
    now: await tanksNow(desk, season, own),
    counts: counts.map((one) => ({ ...one, photos: photosOf(timeline, one.sample.id) })),
    growth,
    survival,
    timeline,
    balance: balanceSheet(season, own),
    pedigree: await pedigreeView(desk, id, season.names, season.ledger.stays),
    refused: refusedOf(season, ({ batchIds }) => batchIds.includes(id)),
    figures: [...new Set([...growth.figures, ...survival.figures])],
  };
}
