import {
  parseSpecies,
  parseStageRules,
  type CountOptions,
  type SavedCalibration,
  type StagingOptions,
} from '@veligrid/imaging';
import { badArgument, COUNTING_RULES, type PhotoCount } from '@veligrid/model';
import type {
  CalibrationFields,
  Entered,
  Json,
  JsonObject,
  Kept,
  PhotoFields,
  SampleFields,
  Store,
} from '@veligrid/storage';
import { ageWarnings, calibrationDays, calibrationNotesKey, type CalibrationNotes } from './calibration-notes.js';
import type { CountTask } from './count-task.js';

/** Setting with the version of the stage rules in use by species: `{ "eastern-oyster": "2026-06-01" }`. */
export const RULES_IN_USE = 'rules-in-use';

/** Setting with the version of the hatchery's own species preset in use by species. */
export const PRESETS_IN_USE = 'presets-in-use';

/** A photo that is to be counted, with all that says how. */
export interface CountPlan {
  readonly photo: Kept<PhotoFields>;
  readonly calibration: CalibrationFields | null;
  readonly task: CountTask;
}

const CELLS = ['sedgwick-rafter', 'haemocytometer', 'none'] as const;
const AREAS = ['squares', 'field'] as const;

function oneOf<T extends string>(name: string, choices: readonly T[], value: Json | undefined): T | undefined {
  if (value === undefined || value === null) return undefined;
  const found = choices.find((choice) => choice === value);
  if (found === undefined)
    throw badArgument(`${name} of the sample`, `one of ${choices.join(', ')}`, JSON.stringify(value));
  return found;
}

/** Leaves out what is undefined: options that are not given have defaults of their own. */
const given = <T extends object>(options: { readonly [K in keyof T]?: T[K] | undefined }): Partial<T> =>
  Object.fromEntries(Object.entries(options).filter(([, value]) => value !== undefined)) as Partial<T>;

/** The content in use of rules or presets, or undefined for the committed ones. */
async function inUse(
  store: Store,
  kind: 'stage-rules' | 'species-preset',
  species: string,
): Promise<JsonObject | undefined> {
  const setting = (await store.settings.get(
    kind === 'stage-rules' ? RULES_IN_USE : PRESETS_IN_USE,
  )) as JsonObject | null;
  const version = setting?.[species];
  if (version === undefined || version === null) return undefined;
  const all = await store.rules.list(kind);
  const found = all.find((one) => one.name === species && one.version === version);
  if (found === undefined)
    throw badArgument(`the ${kind} in use for ${species}`, 'a version that is kept', JSON.stringify(version));
  return found.content;
}

async function stagingOf(store: Store, sample: SampleFields): Promise<StagingOptions> {
  const rules = await inUse(store, 'stage-rules', sample.species);
  const preset = await inUse(store, 'species-preset', sample.species);
  return {
    sample: sample.notes,
    species: preset === undefined ? sample.species : parseSpecies(preset),
    ...(rules === undefined ? {} : { rules: parseStageRules(rules) }),
  };
}

/** Relative standard uncertainty of a scale that somebody gave as a number; common practice, no source. */
const GIVEN_UNCERTAINTY = 0.005;

/** The calibration as counting takes it, with the picture that it was measured on and what its age asks to be said. */
async function savedCalibration(
  store: Store,
  calibration: Entered<CalibrationFields>,
  takenAt: string,
): Promise<SavedCalibration> {
  const { id, objective, umPerPx, relativeStandardUncertainty, measuredAt } = calibration;
  const notes = (await store.settings.get(calibrationNotesKey(id))) as unknown as CalibrationNotes | null;
  const microscope = await store.microscopes.get(calibration.microscopeId);
  const old = ageWarnings(measuredAt, await calibrationDays(store.settings), takenAt);
  return {
    name: `${microscope?.name ?? ''}, ${objective}`,
    sizePx: notes?.sizePx ?? null,
    umPerPx,
    relativeStandardUncertainty: relativeStandardUncertainty ?? GIVEN_UNCERTAINTY,
    eyepieceRuler: notes?.eyepieceRuler ?? null,
    warnings: [...(notes?.warnings ?? []), ...old],
  };
}

/** The scale of a photo: its calibration, else what the sample says. */
async function scaleOf(
  store: Store,
  calibration: Entered<CalibrationFields> | null,
  { counting, takenAt }: SampleFields,
): Promise<Pick<CountOptions, 'scaleUmPerPx' | 'calibration'>> {
  if (calibration !== null) return { calibration: await savedCalibration(store, calibration, takenAt) };
  const scale = counting['scaleUmPerPx'] ?? undefined;
  return scale === undefined ? {} : { scaleUmPerPx: Number(scale) };
}

/** Field drawn at random that the photo shows, as its job says. */
function drawnFieldOf({ drawnField }: JsonObject): string | undefined {
  return typeof drawnField === 'string' ? drawnField : undefined;
}

/**
 * How a photo of the store is to be counted: by its calibration, by what its sample says (`cell`, `rule`, `area`,
 * `scaleUmPerPx`) and by the rules in use.
 *
 * @param payload of the job: `drawnField`, when the photo shows a field that was drawn at random
 * @throws VeligridError `bad-argument` when the photo is not there or something said of it can't be used
 */
export async function planCount(store: Store, photoId: string, payload: JsonObject = {}): Promise<CountPlan> {
  const photo = await store.photos.get(photoId);
  const filling = photo === null ? null : await store.fillings.get(photo.fillingId);
  const sample = filling === null ? null : await store.samples.get(filling.sampleId);
  if (photo === null || sample === null) throw badArgument('the photo to count', 'one that is kept', photoId);
  const calibration = photo.calibrationId === null ? null : await store.calibrations.get(photo.calibrationId);
  const { counting } = sample;
  const options = given<CountOptions>({
    name: photo.name,
    ...(await scaleOf(store, calibration, sample)),
    cell: oneOf('cell', CELLS, counting['cell']),
    rule: oneOf('rule', COUNTING_RULES, counting['rule']),
    area: oneOf('area', AREAS, counting['area']),
    drawnField: drawnFieldOf(payload),
    staging: await stagingOf(store, sample),
  });
  return { photo, calibration, task: { path: await store.files.localPath(photo.sha256), page: photo.page, options } };
}

/**
 * The count as the store keeps it: named by the photo's id.
 *
 * @throws VeligridError `bad-argument` when the calibration is for pictures of another width
 */
export function asStored(count: PhotoCount, { photo, calibration }: CountPlan): PhotoCount {
  const named = { ...count, photo: photo.id };
  if (calibration === null) return named;
  const { widthPx } = calibration;
  if (widthPx !== null && widthPx !== count.widthPx) {
    throw badArgument(`the width of ${photo.name}`, `${widthPx} px as its calibration is for`, `${count.widthPx} px`);
  }
  return named;
}
