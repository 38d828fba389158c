import { times, type Limits } from '@veligrid/estimation';
import { presentIn, type Stay } from '@veligrid/hatchery';
import type { Kept, TankFields } from '@veligrid/storage';
import { ageAt } from '../batch/counted-samples.js';
import { intervalsOf, type SurvivalInterval } from '../batch/survival-of.js';
import type { Named } from '../history/house-names.js';
import type { DayRecord, SeenSample } from './day-record.js';
import { dayOf, daysAfter } from './day-bounds.js';
import { dueOf, type Due } from './due.js';
import { flagsOf, lastMeasured, type Flag } from './flags.js';

/** A tank with something in it, as it is in the morning. */
export interface TankLine {
  readonly tank: Named;
  readonly volumeMl: number | null;
  readonly batch: Named;
  readonly species: string;
  /** When these larvae came into this tank. */
  readonly since: string;
  /** Days after fertilisation; null when that is not known. */
  readonly ageDays: number | null;
  /** In the tank if none died since the last count. */
  readonly present: Limits;
  readonly lastCount: {
    readonly sample: Named;
    readonly at: string;
    readonly alive: Limits;
    /** Larvae per mL of the tank; null when its volume is not known. */
    readonly perMl: Limits | null;
    /** What most of those looked at were. */
    readonly stage: string | null;
  } | null;
  readonly length: { readonly sample: Named; readonly at: string; readonly mean: Limits } | null;
  /** Part that came through to the last count: since the count before, or since they came into the tank. */
  readonly survival: {
    readonly sample: Named;
    readonly since: 'count' | 'beginning';
    readonly days: number;
    readonly part: Limits;
  } | null;
  readonly due: readonly Due[];
  readonly flags: readonly Flag[];
}

const DAY_MS = 86_400_000;

function dropsOf({ moves }: DayRecord, { tankId, beganAt }: Stay): string[] {
  const drops = (moves.get(tankId) ?? []).filter(({ kind, happenedAt }) => kind === 'drop' && happenedAt >= beganAt);
  return [beganAt, ...drops.map(({ happenedAt }) => happenedAt)];
}

/** Day on which larvae of this tank are fed first. */
function firstFeed({ rhythm, day }: DayRecord, { beganAt }: Stay, spawnedAt: string | null): string {
  const came = dayOf(beganAt, day.zone);
  if (spawnedAt === null) return came;
  const old = daysAfter(dayOf(spawnedAt, day.zone), rhythm.feedFromDay);
  return old > came ? old : came;
}

function duesOf(record: DayRecord, stay: Stay, spawnedAt: string | null, counted: readonly string[]): Due[] {
  const { rhythm, day, rations } = record;
  const fed = (rations.get(stay.tankId) ?? []).filter(({ happenedAt }) => happenedAt >= stay.beganAt);
  const came = dayOf(stay.beganAt, day.zone);
  const first = firstFeed(record, stay, spawnedAt);
  return [
    dueOf({ what: 'drop', every: rhythm.dropDays, done: dropsOf(record, stay), first: came }, day),
    dueOf({ what: 'count', every: rhythm.countDays, done: counted, first: daysAfter(came, rhythm.countDays) }, day),
    dueOf({ what: 'feed', every: rhythm.feedDays, done: fed.map(({ happenedAt }) => happenedAt), first }, day),
  ].filter((due) => due !== null);
}

function lastCountOf({ names, samples }: DayRecord, stay: Stay, volumeMl: number | null): TankLine['lastCount'] {
  const last = stay.counts.at(-1)?.count;
  if (last === undefined) return null;
  const result = samples.get(stay.tankId)?.find(({ id }) => id === last.id)?.result ?? null;
  const [most] = (result?.shares ?? []).toSorted((a, b) => b.animals - a.animals);
  return {
    sample: { id: last.id, name: names(last.id) ?? '' },
    at: last.happenedAt,
    alive: last.alive,
    perMl: volumeMl === null ? null : times(last.alive, 1 / volumeMl),
    stage: most?.stage ?? null,
  };
}

function survivalOf(interval: SurvivalInterval | null): TankLine['survival'] {
  const part = interval?.survival ?? null;
  if (interval === null || part === null) return null;
  const { toSample, fromSample, fromAt, toAt } = interval;
  const days = (Date.parse(toAt) - Date.parse(fromAt)) / DAY_MS;
  return { sample: toSample, since: fromSample === null ? 'beginning' : 'count', days, part };
}

function lengthOf({ names }: DayRecord, samples: readonly SeenSample[]): TankLine['length'] {
  const measured = lastMeasured(samples);
  if (measured === null) return null;
  const { id, takenAt, mean } = measured;
  return { sample: { id, name: names(id) ?? '' }, at: takenAt, mean };
}

/** One tank in the morning. */
export function tankLine(record: DayRecord, { id, name, volumeMl }: Kept<TankFields>, stay: Stay): TankLine {
  const { batches, books, at } = record;
  const { spawnedAt = null, species = '', name: batchName = '' } = batches.get(stay.batchId) ?? {};
  const book = books.get(species) ?? new Map<string, never>();
  const samples = (record.samples.get(id) ?? []).filter(({ takenAt }) => takenAt >= stay.beganAt);
  const interval = intervalsOf(record, { ...stay, counts: stay.counts.slice(-2) }, spawnedAt, book).at(-1) ?? null;
  const counted = samples.map(({ takenAt }) => takenAt);
  return {
    tank: { id, name },
    volumeMl,
    batch: { id: stay.batchId, name: batchName },
    species,
    since: stay.beganAt,
    ageDays: ageAt(spawnedAt, at),
    present: presentIn(stay),
    lastCount: lastCountOf(record, stay, volumeMl),
    length: lengthOf(record, samples),
    survival: survivalOf(interval),
    due: duesOf(record, stay, spawnedAt, counted),
    flags: flagsOf({ record, stay, book, spawnedAt, volumeMl, samples, interval }),
  };
}
