import { seasonLedger } from '@veligrid/hatchery';
import type { SampleNotes } from '@veligrid/model';
import { find, ledgerOf, type Desk } from './desk.js';
import { field, type Field, type Given } from './given.js';
import { AT, NOTE, timeOrNow } from './kind.js';

const STATES = ['live', 'chilled', 'fixed'] as const;

/** What is asked of every sample, counted by hand or on photos. */
export const SAMPLE_FIELDS: readonly Field[] = [
  field('tank', 'tank it was taken from', { needed: 'always' }),
  field('sample', 'what it is called (default: tank and day)'),
  field('batch', 'batch (default: the one in the tank at that time)'),
  AT,
  field('container_ml', 'volume that the larvae of the whole tank were in when it was taken, mL', { needed: 'always' }),
  field('state', 'state of the sample', { choices: STATES }),
  field('fixative', 'what a fixed sample was fixed with'),
  NOTE,
];

/** What is known of a sample from the one and the other. */
export interface SampleHead {
  readonly tankId: string;
  readonly batchId: string | null;
  readonly takenAt: string;
  readonly name: string;
  readonly species: string;
  readonly notes: SampleNotes;
  readonly containerMl: number;
  readonly note: string;
}

const HOUR_MS = 3_600_000;

function notesOf(given: Given, ageHours: number | null): SampleNotes {
  const kind = given.choice('state', STATES, 'live');
  const age = ageHours === null ? {} : { ageHours };
  if (kind !== 'fixed') return { kind, ...age };
  return { kind, fixative: given.name('fixative'), ...age };
}

/** The batch that was in a tank at a time; null when it was empty. */
export async function batchInTank(desk: Desk, tankId: string, at: string): Promise<string | null> {
  const { recorded } = await ledgerOf(desk);
  const moves = recorded.moves.filter(({ happenedAt }) => happenedAt <= at);
  const { stays } = seasonLedger({ ...recorded, moves });
  return stays.find((stay) => stay.tankId === tankId && stay.endedAt === null)?.batchId ?? null;
}

/** Tank, batch, time and state of a sample as given. */
export async function sampleHead(given: Given, desk: Desk): Promise<SampleHead> {
  const tank = await find(desk, 'tank', given.name('tank'));
  const takenAt = timeOrNow(given, desk);
  const batchId = given.has('batch')
    ? (await find(desk, 'batch', given.name('batch'))).id
    : await batchInTank(desk, tank.id, takenAt);
  const batch = batchId === null ? null : await desk.parts.batches.get(batchId);
  const spawnedAt = batch?.spawnedAt ?? null;
  const hours = spawnedAt === null ? -1 : (Date.parse(takenAt) - Date.parse(spawnedAt)) / HOUR_MS;
  return {
    tankId: tank.id,
    batchId,
    takenAt,
    name: given.text('sample') || `${tank.name} ${takenAt.slice(0, 10)}`,
    species: batch?.species ?? 'eastern-oyster',
    notes: notesOf(given, hours < 0 ? null : Math.round(10 * hours) / 10),
    containerMl: given.above0('container_ml'),
    note: given.text('note'),
  };
}
