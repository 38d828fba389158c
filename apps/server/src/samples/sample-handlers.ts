import { randomInt } from 'node:crypto';
import type { CountingNotes, Filling, Sample } from '@veligrid/api';
import { drawFields } from '@veligrid/estimation';
import { batchInTank } from '@veligrid/season';
import type { FillingFields, Kept, Parts, Said, SampleFields } from '@veligrid/storage';
import type { Call, Handlers } from '../http/call.js';
import { changedVersion, setRevision } from '../http/etag.js';
import { notThere, ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { lookingDesk } from '../season/entry-handlers.js';
import { readSettings } from '../people/settings.js';
import { checkOpen, findSample, readSample } from './read-sample.js';
import { sampleHistory } from './sample-history.js';
import { countingOf, isWholeSlide, keptCounting, notesOf } from './sample-answer.js';

const LARGEST_SEED = 2 ** 32;
const HOUR_MS = 3_600_000;

type FieldsAsked = Call<'drawFields'>['body'];

/** Draws fields of the sample's cell at random. */
function fieldPlan(house: House, cell: CountingNotes['cell'], { photos, unit }: FieldsAsked): CountingNotes['fields'] {
  if (cell.kind === 'none') {
    throw new ProblemError('refused', 'Fields can be drawn on a ruled cell only. Choose the cell first.');
  }
  const asked = { cell: cell.kind, photos, unit, seed: randomInt(LARGEST_SEED), drawnAt: house.now().toISOString() };
  const { seed, drawnAt, fields } = drawFields(asked);
  return {
    unit,
    seed,
    drawnAt,
    fields: fields.map(({ number, name, column, row }) => ({ number, name, column, row })),
  };
}

const fillingFields = (sampleId: string, { steps, wholeSlideMl }: Filling, index: number): FillingFields => ({
  sampleId,
  number: index + 1,
  volumeMl: wholeSlideMl,
  volumeStandardUncertaintyMl: null,
  steps,
  note: '',
});

/** @throws ProblemError when a tank, batch or calibration that the sample names is not there */
async function checkNamed(house: House, named: Partial<Pick<Sample, 'tank' | 'batch' | 'scale'>>): Promise<void> {
  const { tank, batch, scale } = named;
  if (tank !== undefined && (await house.store.tanks.get(tank)) === null) throw notThere('tank');
  if (batch !== undefined && batch !== null && (await house.store.batches.get(batch)) === null) throw notThere('batch');
  if (scale?.kind === 'calibration' && (await house.store.calibrations.get(scale.calibration)) === null) {
    throw notThere('calibration');
  }
}

/** Hours since the spawn of the batch; null when it is not known or lies after the sample. */
async function ageOf(house: House, batchId: string | null, takenAt: string): Promise<number | null> {
  const spawnedAt = batchId === null ? null : ((await house.store.batches.get(batchId))?.spawnedAt ?? null);
  if (spawnedAt === null) return null;
  const hours = (Date.parse(takenAt) - Date.parse(spawnedAt)) / HOUR_MS;
  return hours >= 0 && hours <= 10_000 ? Math.round(10 * hours) / 10 : null;
}

/** That of the batch, else the house's usual one. */
const speciesOf = async (house: House, batchId: string | null): Promise<string> =>
  (batchId === null ? null : await house.store.batches.get(batchId))?.species ?? (await readSettings(house)).species;

async function newFields({ house, body }: Call<'addSample'>): Promise<SampleFields> {
  const { cell, scale, countingRule, condition } = body;
  const takenAt = new Date(body.takenAt ?? house.now()).toISOString();
  const batch = body.batch === undefined ? await batchInTank(lookingDesk(house), body.tank, takenAt) : body.batch;
  const ageHours = body.ageHours ?? (await ageOf(house, batch, takenAt));
  const fields = body.draw ? fieldPlan(house, cell, body.draw) : null;
  return {
    name: takenAt.slice(0, 10),
    batchId: batch,
    tankId: body.tank,
    takenAt,
    species: body.species ?? (await speciesOf(house, batch)),
    notes: notesOf(condition, ageHours),
    containerVolumeMl: body.containerMl,
    containerVolumeStandardUncertaintyMl: null,
    counting: keptCounting({ cell, scale, countingRule, fields }, isWholeSlide(body.fillings)),
    note: body.note,
    active: true,
  };
}

async function addSample(call: Call<'addSample'>): Promise<Sample> {
  const { house, body, by } = call;
  await checkNamed(house, { tank: body.tank, batch: body.batch ?? null, scale: body.scale });
  const fields = await newFields(call);
  const sample = await house.store.together(async (parts) => {
    const added = await parts.samples.add(fields, { by });
    for (const [i, one] of body.fillings.entries()) {
      await parts.fillings.add(fillingFields(added.id, one, i), { by });
    }
    return added;
  });
  return (await readSample(house, sample)).answer;
}

type Changes = Call<'changeSample'>['body'];

/** What photos were counted by. */
const FIXED_BY_PHOTOS = ['cell', 'scale', 'species', 'condition', 'ageHours'] as const;

function checkChanges(changes: Changes, now: Sample): void {
  const late = FIXED_BY_PHOTOS.find((name) => changes[name] !== undefined);
  if (late !== undefined && now.photos.all > 0) {
    throw new ProblemError(
      'refused',
      `The photos were counted with ${late} as it is. Begin a new sample to change it.`,
      { code: 'fixed-by-photos' },
    );
  }
  if (changes.fillings !== undefined && changes.fillings.length < now.fillings.length) {
    throw new ProblemError('refused', 'Fillings can be added and corrected, not taken away.');
  }
  if (now.photos.all > 0 && isWholeSlide(changes.fillings ?? now.fillings) !== isWholeSlide(now.fillings)) {
    throw new ProblemError(
      'refused',
      'The photos were counted for whole slides, or not. Begin a new sample to change it.',
    );
  }
}

function changedFields(changes: Changes, kept: Kept<SampleFields>, now: Sample): Partial<SampleFields> {
  const { cell = now.cell, scale = now.scale, countingRule = now.countingRule, note } = changes;
  const { condition = now.condition, ageHours = now.ageHours, takenAt, containerMl, species, batch } = changes;
  return {
    notes: notesOf(condition, ageHours),
    counting: keptCounting(
      { cell, scale, countingRule, fields: countingOf(kept).fields },
      isWholeSlide(changes.fillings ?? now.fillings),
    ),
    ...(takenAt === undefined ? {} : { takenAt: new Date(takenAt).toISOString() }),
    ...(containerMl === undefined ? {} : { containerVolumeMl: containerMl }),
    ...(species === undefined ? {} : { species }),
    ...(batch === undefined ? {} : { batchId: batch }),
    ...(note === undefined ? {} : { note }),
  };
}

/** Who corrects, and why. */
const saidBy = (by: string, why: string | undefined): Said => (why === undefined ? { by } : { by, why });

async function changeFillings(parts: Parts, sampleId: string, fillings: readonly Filling[], said: Said): Promise<void> {
  const kept = await parts.fillings.ofSample(sampleId);
  for (const [i, one] of fillings.entries()) {
    const old = kept.find(({ number }) => number === i + 1);
    const fields = fillingFields(sampleId, one, i);
    if (old === undefined) await parts.fillings.add(fields, said);
    else await parts.fillings.change(old.id, old.revision, { steps: fields.steps, volumeMl: fields.volumeMl }, said);
  }
}

async function changeSample({ house, body, params, by, req, res }: Call<'changeSample'>): Promise<Sample> {
  const kept = await findSample(house, params['sample']);
  const seen = changedVersion(req);
  const now = await readSample(house, kept);
  if (seen !== kept.revision) {
    throw new ProblemError('changed-since', 'Somebody changed this sample. Look at theirs, then change it again.', {
      code: 'changed-since',
      current: now.answer,
    });
  }
  checkOpen(now);
  checkChanges(body, now.answer);
  await checkNamed(house, { batch: body.batch ?? null, ...(body.scale === undefined ? {} : { scale: body.scale }) });
  const said = saidBy(by, body.why);
  const changed = await house.store.together(async (parts) => {
    if (body.fillings !== undefined) await changeFillings(parts, kept.id, body.fillings, said);
    return parts.samples.change(kept.id, seen, changedFields(body, kept, now.answer), said);
  });
  const { answer } = await readSample(house, changed);
  setRevision(res, answer.revision, answer);
  return answer;
}

async function drawSampleFields({ house, body, params, by }: Call<'drawFields'>): Promise<Sample> {
  const kept = await findSample(house, params['sample']);
  const { answer } = await readSample(house, kept);
  if (answer.photos.all > 0) throw new ProblemError('refused', 'Fields are drawn before the first photo, not after.');
  const counting = countingOf(kept);
  const fields = fieldPlan(house, counting.cell, body);
  const change = { counting: keptCounting({ ...counting, fields }, isWholeSlide(answer.fillings)) };
  return (await readSample(house, await house.store.samples.change(kept.id, kept.revision, change, { by }))).answer;
}

/** Samples that are asked for, latest first. */
async function wantedSamples(
  { store }: House,
  { tank, batch, state }: Call<'listSamples'>['query'],
): Promise<readonly Kept<SampleFields>[]> {
  const choice = {
    ...(batch === undefined ? {} : { batchId: batch }),
    ...(tank === undefined ? {} : { tankId: tank }),
  };
  const standing = await store.samples.standing(choice);
  const isWanted = ({ signOff }: (typeof standing)[number]): boolean =>
    state === undefined || (signOff?.kind === 'signed') === (state === 'signed-off');
  const wanted = standing.filter((one) => one.sample.active && isWanted(one)).map(({ sample }) => sample);
  return wanted.toSorted((a, b) => b.takenAt.localeCompare(a.takenAt));
}

/** Samples in one answer when nothing is said: each is read with its photos. */
const USUALLY_AT_ONCE = 100;

async function listSamples({ house, query }: Call<'listSamples'>): Promise<{ samples: Sample[]; all: number }> {
  const { most = USUALLY_AT_ONCE, skip = 0 } = query;
  const wanted = await wantedSamples(house, query);
  const some = wanted.slice(skip, skip + most);
  const samples = await Promise.all(some.map(async (sample) => (await readSample(house, sample)).answer));
  return { samples, all: wanted.length };
}

export const sampleHandlers: Handlers<
  'listSamples' | 'addSample' | 'getSample' | 'changeSample' | 'getSampleHistory' | 'drawFields'
> = {
  listSamples,
  addSample,
  getSample: async ({ house, params, res }) => {
    const { answer } = await readSample(house, await findSample(house, params['sample']));
    setRevision(res, answer.revision, answer);
    return answer;
  },
  changeSample,
  getSampleHistory: sampleHistory,
  drawFields: drawSampleFields,
};
