import type { Limits } from '@veligrid/estimation';
import { balanceOf, cameThrough, type Stay, type Verdict } from '@veligrid/hatchery';
import type { BatchFields, Kept } from '@veligrid/storage';
import type { Desk } from '../record/desk.js';
import { readSeason, type Season } from '../history/read-season.js';
import type { Named } from '../history/house-names.js';
import { ageAt, countedSamples, namedBy, type CountedSample } from './counted-samples.js';

/** What became of a batch: in tanks, put to set or shipped, all moved on or gone, or not in a tank yet. */
export type BatchState = 'in-tanks' | 'set' | 'shipped' | 'gone' | 'not-stocked';

/** A batch in a list of batches. */
export interface BatchLine {
  readonly batch: Named;
  readonly species: string;
  readonly spawnedAt: string | null;
  /** Days after fertilisation; null when that is not known. */
  readonly ageDays: number | null;
  readonly state: BatchState;
  readonly tanks: readonly Named[];
  /** In all its tanks if none died since the last counts; null when it is in none. */
  readonly present: Limits | null;
  readonly lastCount: {
    readonly sample: Named;
    readonly at: string;
    readonly alive: Limits;
    readonly meanUm: Limits | null;
    /** What most of those looked at were. */
    readonly stage: string | null;
  } | null;
  /** Part of those stocked that came through to the last counts. */
  readonly survival: Limits | null;
  readonly verdict: Verdict;
}

function stateOf(own: readonly Stay[]): BatchState {
  if (own.some(({ endedAt }) => endedAt === null)) return 'in-tanks';
  if (own.length === 0) return 'not-stocked';
  const lines = new Set(own.flatMap(({ entries }) => entries.map(({ line }) => line)));
  return lines.has('putToSet') ? 'set' : lines.has('shipped') ? 'shipped' : 'gone';
}

function lastCountOf(last: CountedSample | undefined): BatchLine['lastCount'] {
  if (last === undefined) return null;
  const { sample, at, result } = last;
  const [most] = result.shares.toSorted((a, b) => b.animals - a.animals);
  const { estimate, low, high } = (result.alive ?? result.all).total;
  const alive = { estimate, low, high };
  return { sample, at, alive, meanUm: result.lengths?.mean ?? null, stage: most?.stage ?? null };
}

function lineOf(season: Season, batch: Kept<BatchFields>, now: string): BatchLine {
  const { id, name, species, spawnedAt } = batch;
  const own = season.ledger.stays.filter(({ batchId }) => batchId === id);
  const there = own.filter(({ endedAt }) => endedAt === null);
  const { verdict, present } = balanceOf(own);
  return {
    batch: { id, name },
    species,
    spawnedAt,
    ageDays: ageAt(spawnedAt, now),
    state: stateOf(own),
    tanks: there.map(({ tankId }) => namedBy(season, tankId)),
    present: there.length === 0 ? null : present,
    lastCount: lastCountOf(countedSamples(season, batch).at(-1)),
    survival: cameThrough(season.ledger.stays, id).overall,
    verdict,
  };
}

/** All batches, those spawned last first. */
export async function batchLines(desk: Desk): Promise<BatchLine[]> {
  const season = await readSeason(desk.parts);
  const batches = (await desk.parts.batches.list()).filter(({ active }) => active);
  return batches
    .map((batch) => lineOf(season, batch, desk.now()))
    .toSorted((a, b) => (b.spawnedAt ?? '').localeCompare(a.spawnedAt ?? ''));
}
