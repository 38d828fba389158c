import { countingNotes, type CountingNotes, type Filling, type Photo, type Sample } from '@veligrid/api';
import type { SampleNotes } from '@veligrid/model';
import type { FillingFields, JsonObject, Kept, SampleFields, SignOffEntry } from '@veligrid/storage';

/** Tank of a sample that has none; samples of this server always have one. */
const NO_TANK = '';

/** How the photos of a sample are counted. */
export function countingOf({ counting }: Pick<SampleFields, 'counting'>): CountingNotes {
  const { cell, depthMm, rule, scale, fields } = counting;
  return countingNotes.parse({
    cell: { kind: cell, ...(depthMm === undefined ? {} : { depthMm }) },
    scale,
    countingRule: rule,
    fields,
  });
}

/**
 * The same as it is kept: `cell`, `rule`, `area` and `scaleUmPerPx` are what the worker that counts goes by.
 *
 * @param wholeSlide the slide is counted whole, so that ruled squares don't bound what counts
 */
export function keptCounting({ cell, scale, countingRule, fields }: CountingNotes, wholeSlide: boolean): JsonObject {
  return {
    cell: cell.kind,
    ...(cell.depthMm === undefined ? {} : { depthMm: cell.depthMm }),
    rule: countingRule,
    area: wholeSlide ? 'field' : 'squares',
    scale: { ...scale },
    ...(scale.kind === 'given' ? { scaleUmPerPx: scale.umPerPx } : {}),
    fields: fields === null ? null : { ...fields, fields: fields.fields.map((field) => ({ ...field })) },
  };
}

/** Whether a slide is counted whole. */
export const isWholeSlide = (fillings: readonly Pick<Filling, 'wholeSlideMl'>[]): boolean =>
  fillings.some(({ wholeSlideMl }) => wholeSlideMl !== null);

/** What was done to the sample, from the notes that staging takes. */
function conditionOf({ kind, fixative, buffered }: SampleNotes): Sample['condition'] {
  if (kind !== 'fixed') return { kind };
  return { kind, fixative: fixative ?? 'unknown', ...(buffered === undefined ? {} : { buffered }) };
}

/** Notes that staging takes, from condition and age. */
export function notesOf(condition: Sample['condition'], ageHours: number | null): SampleNotes {
  const age = ageHours === null ? {} : { ageHours };
  if (condition.kind !== 'fixed') return { kind: condition.kind, ...age };
  const { kind, fixative, buffered } = condition;
  return { kind, fixative, ...(buffered === undefined ? {} : { buffered }), ...age };
}

/** Sign-off of the whole count that stands, or null. */
export function standingSignOff(signOffs: readonly SignOffEntry[]): SignOffEntry | null {
  const last = signOffs.findLast(({ photoId }) => photoId === null);
  return last?.kind === 'signed' ? last : null;
}

const fillingOf = ({ steps, volumeMl }: FillingFields): Filling => ({ steps: [...steps], wholeSlideMl: volumeMl });

const tally = (photos: readonly Photo[]): Sample['photos'] => ({
  all: photos.length,
  counted: photos.filter(({ state }) => state === 'counted').length,
  failed: photos.filter(({ state }) => state === 'failed').length,
  underWay: photos.filter(({ state }) => state === 'waiting' || state === 'counting').length,
  lookedAt: photos.filter(({ lookedAt }) => lookedAt !== null).length,
});

/** Everything that a sample's answer is made of. */
export interface SampleParts {
  readonly sample: Kept<SampleFields>;
  readonly fillings: readonly Kept<FillingFields>[];
  readonly photos: readonly Photo[];
  readonly signOffs: readonly SignOffEntry[];
  readonly tankName: string;
  readonly batchName: string | null;
}

/** A sample as it is answered. */
export function sampleAnswer({ sample, fillings, photos, signOffs, tankName, batchName }: SampleParts): Sample {
  const { fields, ...counting } = countingOf(sample);
  return {
    id: sample.id,
    tank: sample.tankId ?? NO_TANK,
    tankName,
    batch: sample.batchId,
    batchName,
    takenAt: sample.takenAt,
    condition: conditionOf(sample.notes),
    species: sample.species,
    ageHours: sample.notes.ageHours ?? null,
    containerMl: sample.containerVolumeMl ?? 0,
    fillings: fillings.toSorted((a, b) => a.number - b.number).map(fillingOf),
    ...counting,
    fields,
    note: sample.note,
    state: standingSignOff(signOffs) === null ? 'open' : 'signed-off',
    photos: tally(photos),
    made: { by: sample.addedBy, at: sample.addedAt },
    revision: sample.revision,
  };
}
