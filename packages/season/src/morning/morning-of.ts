import type { Limits } from '@veligrid/estimation';
import { balanceOf, cameThrough } from '@veligrid/hatchery';
import { ageAt } from '../batch/counted-samples.js';
import type { Named } from '../history/house-names.js';
import type { Desk } from '../record/desk.js';
import { houseDay } from './day-bounds.js';
import { dayRecord, lasting, type DayRecord } from './day-record.js';
import type { Rhythm } from './rhythm.js';
import { tankLine, type TankLine } from './tank-line.js';

/** A batch that is in tanks, all of it together. */
export interface BatchMorning {
  readonly batch: Named;
  readonly species: string;
  readonly ageDays: number | null;
  readonly tanks: number;
  readonly present: Limits;
  /** Part of those stocked that came through to the last counts; null before any count. */
  readonly survival: Limits | null;
  /** Tanks of it with something flagged. */
  readonly flagged: number;
}

/** A culture with its last reading. */
export interface CultureMorning {
  readonly culture: Named;
  readonly alga: string;
  readonly reading: {
    readonly id: string;
    readonly at: string;
    readonly cellsPerMl: number;
    readonly litres: number | null;
  } | null;
  /** Older than a day, or none at all. */
  readonly old: boolean;
}

/** What the house is on a day. */
export interface Morning {
  readonly day: string;
  readonly zone: string;
  readonly rhythm: Rhythm;
  readonly tanks: readonly TankLine[];
  readonly empty: readonly Named[];
  readonly batches: readonly BatchMorning[];
  readonly cultures: readonly CultureMorning[];
  /** Moves and counts that can't have happened as they are said. */
  readonly refused: readonly { readonly id: string; readonly why: string }[];
}

/** A reading that is older says little of a culture that doubles in a day; common practice, no source. */
const OLD_MS = 24 * 3_600_000;

/** Names in the order of people: 1-2 before 1-10. */
const byName = (a: { readonly name: string }, b: { readonly name: string }): number =>
  a.name.localeCompare(b.name, 'en', { numeric: true });

function batchesOf(record: DayRecord, lines: readonly TankLine[]): BatchMorning[] {
  const stays = lasting(record.ledger);
  return [...new Map(lines.map(({ batch }) => [batch.id, batch])).values()].toSorted(byName).map((batch) => {
    const own = lines.filter((line) => line.batch.id === batch.id);
    const kept = record.batches.get(batch.id);
    return {
      batch,
      species: kept?.species ?? '',
      ageDays: ageAt(kept?.spawnedAt ?? null, record.at),
      tanks: own.length,
      present: balanceOf(stays.filter(({ batchId }) => batchId === batch.id)).present,
      survival: cameThrough(record.ledger.stays, batch.id).overall,
      flagged: own.filter(({ flags }) => flags.length > 0).length,
    };
  });
}

/** Cultures in use with the last reading before a time. */
export async function culturesAt({ parts }: Desk, at: string): Promise<CultureMorning[]> {
  const readings = await parts.cultureReadings.list();
  const cultures = (await parts.cultures.list()).filter(({ active }) => active).toSorted(byName);
  return cultures.map(({ id, name, species }) => {
    const last = readings.findLast((one) => one.cultureId === id && one.happenedAt <= at);
    return {
      culture: { id, name },
      alga: species,
      reading:
        last === undefined
          ? null
          : { id: last.id, at: last.happenedAt, cellsPerMl: last.cellsPerMl, litres: last.litres },
      old: last === undefined || Date.parse(at) - Date.parse(last.happenedAt) > OLD_MS,
    };
  });
}

/** What the day finds in each tank, what is due, and what wants a look; all as recorded up to the end of that day. */
export async function morningOf(
  desk: Desk,
  { day, zone }: { readonly day: string; readonly zone: string },
  rhythm: Rhythm,
): Promise<Morning> {
  const record = await dayRecord(desk, houseDay(day, zone), rhythm);
  const stays = new Map(lasting(record.ledger).map((stay) => [stay.tankId, stay]));
  const tanks = record.tanks.toSorted(byName);
  const lines = tanks.flatMap((tank) => {
    const stay = stays.get(tank.id);
    return stay === undefined ? [] : [tankLine(record, tank, stay)];
  });
  return {
    day,
    zone,
    rhythm,
    tanks: lines,
    empty: tanks.filter(({ id }) => !stays.has(id)).map(({ id, name }) => ({ id, name })),
    batches: batchesOf(record, lines),
    cultures: await culturesAt(desk, record.at),
    refused: record.ledger.refused,
  };
}
