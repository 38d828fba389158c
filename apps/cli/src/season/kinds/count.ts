import { badArgument, STAGES, VeligridError, type SampleNotes } from '@veligrid/model';
import { seasonLedger } from '@veligrid/hatchery';
import { keepHandTally, type TalliedFilling } from '@veligrid/server';
import { find, ledgerOf, type Desk } from '../desk.js';
import { field, type Given } from '../given.js';
import { AT, NOTE, timeOrNow, type Kind } from '../kind.js';
import type { Field } from '../given.js';

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

async function batchAt(given: Given, desk: Desk, tankId: string, at: string): Promise<string | null> {
  if (given.has('batch')) return (await find(desk, 'batch', given.name('batch'))).id;
  const { recorded } = await ledgerOf(desk);
  const moves = recorded.moves.filter(({ happenedAt }) => happenedAt <= at);
  const { stays } = seasonLedger({ ...recorded, moves });
  return stays.find((stay) => stay.tankId === tankId && stay.endedAt === null)?.batchId ?? null;
}

/** Tank, batch, time and state of a sample as given. */
export async function sampleHead(given: Given, desk: Desk): Promise<SampleHead> {
  const tank = await find(desk, 'tank', given.name('tank'));
  const takenAt = timeOrNow(given, desk);
  const batchId = await batchAt(given, desk, tank.id, takenAt);
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

/** One value for all fillings, or one for each. */
function perFilling(name: string, values: readonly number[], fillings: number): number[] {
  const [only] = values;
  if (values.length === 1 && only !== undefined) return Array.from({ length: fillings }, () => only);
  if (values.length === fillings) return [...values];
  throw badArgument(name, `one for all, or one for each of the ${fillings} fillings`, values.length);
}

function fillingsOf(given: Given): TalliedFilling[] {
  const alive = given.numbers('counts');
  if (alive.length === 0) throw new VeligridError('bad-argument', 'counts is missing.');
  const dead = given.has('dead') ? perFilling('dead', given.numbers('dead'), alive.length) : alive.map(() => 0);
  const volumes = perFilling('volume_ml', given.numbers('volume_ml'), alive.length);
  const [takenMl, madeUpToMl] = [given.maybeAbove0('taken_ml'), given.maybeAbove0('made_up_to_ml')];
  if ((takenMl === null) !== (madeUpToMl === null)) {
    throw new VeligridError('bad-argument', 'A dilution needs both taken_ml and made_up_to_ml, the final volume.');
  }
  const steps = takenMl === null || madeUpToMl === null ? [] : [{ takenMl, madeUpToMl }];
  return alive.map((number, i) => ({ alive: number, dead: dead[i] ?? 0, volumeMl: volumes[i] ?? 0, steps }));
}

export const COUNT: Kind = {
  name: 'count',
  about: 'a count made by eye at the microscope; it is signed off by who enters it',
  fields: [
    ...SAMPLE_FIELDS,
    field('counts', 'live animals in each filling of the slide, with ; between them', { needed: 'always' }),
    field('dead', 'dead ones and empty shells in each filling'),
    field('volume_ml', 'volume looked at in each filling, mL; one number when it is the same', { needed: 'always' }),
    field('taken_ml', 'volume taken for a dilution, mL'),
    field('made_up_to_ml', 'final volume of the dilution, mL'),
    field('stage', 'what most of them were', { choices: STAGES }),
    field('lengths_um', 'lengths measured, um, with ; between them'),
  ],
  keep: async (given, desk) => {
    const { parts, by } = desk;
    const head = await sampleHead(given, desk);
    const stage = given.choice('stage', STAGES, 'unsure');
    if (stage === 'dead' || stage === 'empty-shell') throw badArgument('stage', 'what the living were', stage);
    const tally = { ...head, by, stage, fillings: fillingsOf(given), lengthsUm: given.numbers('lengths_um') };
    const { sampleId } = await keepHandTally(desk.store, tally, { now: () => new Date(desk.now()) });
    const sample = await parts.samples.get(sampleId);
    if (sample === null) throw new Error(`The sample ${sampleId} was not kept`);
    return sample;
  },
};
