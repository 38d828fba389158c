import { readFile, rm, writeFile } from 'node:fs/promises';
import type { Calibration, CalibrationPicture } from '@veligrid/api';
import { removePlace } from '@veligrid/imaging';
import { calibrationNotesKey, type CalibrationNotes } from '@veligrid/jobs';
import type { CalibrationFields, Entered, JsonObject } from '@veligrid/storage';
import type { Call, Handlers } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { readSettings } from '../people/settings.js';
import { pyramidOf } from '../photos/pictures.js';
import { calibrationAnswer } from './calibration-answer.js';
import { findLines, measuredOnWords, readKeptPicture } from './find-lines.js';

/** Standard uncertainty of one point that somebody reads off a picture, px; common practice, no source. */
const POINTING_PX = 0.7;
/** Points nearer than this give a scale with a standard uncertainty of over 1 %. */
const LEAST_DISTANCE_PX = 100;

type Source = Call<'addCalibration'>['body']['source'];

/** A scale with what counting needs to know of the picture that it comes from. */
interface Scale {
  readonly fields: Pick<CalibrationFields, 'umPerPx' | 'relativeStandardUncertainty' | 'measuredOn'>;
  readonly notes: CalibrationNotes;
}

const NO_NOTES: CalibrationNotes = { sizePx: null, eyepieceRuler: null, warnings: [] };

type TwoPoints = Extract<Source, { readonly way: 'two-points' }>;

function ofPoints(source: TwoPoints): Scale['fields'] {
  const [[x1, y1], [x2, y2]] = source.points;
  const distancePx = Math.hypot(x2 - x1, y2 - y1);
  if (distancePx < LEAST_DISTANCE_PX) {
    throw new ProblemError('bad-request', 'The two points are less than 100 px apart. Set points farther apart.', {
      code: 'points-too-near',
    });
  }
  return {
    umPerPx: source.distanceUm / distancePx,
    relativeStandardUncertainty: (Math.SQRT2 * POINTING_PX) / distancePx,
    measuredOn: `two points ${String(source.distanceUm)} um apart`,
  };
}

/** What the server itself found on a picture. */
async function ofPicture(house: House, id: string): Promise<Scale> {
  const kept = await readKeptPicture(house, id);
  const { found, sizePx } = kept;
  if (found === null) {
    throw new ProblemError('refused', 'No lines were found on this picture. Set two points on it instead.', {
      code: 'no-lines',
    });
  }
  const { umPerPx, relativeStandardUncertainty, eyepieceRuler, warnings } = found;
  return {
    fields: { umPerPx, relativeStandardUncertainty, measuredOn: measuredOnWords(kept) },
    notes: { sizePx, eyepieceRuler, warnings },
  };
}

async function scaleOf(house: House, source: Source): Promise<Scale> {
  if (source.way === 'picture') return ofPicture(house, source.picture);
  if (source.way === 'given') {
    const fields = { umPerPx: source.umPerPx, relativeStandardUncertainty: null, measuredOn: 'given as a number' };
    return { fields, notes: NO_NOTES };
  }
  const sizePx = source.picture === undefined ? null : (await readKeptPicture(house, source.picture)).sizePx;
  return { fields: ofPoints(source), notes: { ...NO_NOTES, sizePx } };
}

async function microscopeId(house: House, name: string, by: string): Promise<string> {
  const { microscopes } = house.store;
  const known = (await microscopes.list()).find((one) => one.name.toLowerCase() === name.toLowerCase());
  return (known ?? (await microscopes.add({ name, note: '', active: true }, { by }))).id;
}

async function answerOf(house: House, calibration: Entered<CalibrationFields>): Promise<Calibration> {
  const microscope = await house.store.microscopes.get(calibration.microscopeId);
  const { calibrationDays } = await readSettings(house);
  return calibrationAnswer(calibration, microscope?.name ?? '', { days: calibrationDays, now: house.now() });
}

async function addCalibration({ house, body, by }: Call<'addCalibration'>): Promise<Calibration> {
  const { fields, notes } = await scaleOf(house, body.source);
  const calibration = {
    microscopeId: await microscopeId(house, body.microscope, by),
    objective: body.objective,
    ...fields,
    widthPx: null,
    measuredAt: house.now().toISOString(),
  };
  const kept = await house.store.together(async (parts) => {
    const added = await parts.calibrations.append(calibration, { by });
    await parts.settings.set(calibrationNotesKey(added.id), notes as unknown as JsonObject, { by });
    return added;
  });
  return answerOf(house, kept);
}

async function addPicture(call: Call<'addCalibrationPicture'>): Promise<CalibrationPicture> {
  const { house, files } = call;
  const [file] = files;
  if (file === undefined) throw new ProblemError('bad-request', 'Send one picture.');
  const { pixels: maxPixels } = house.uploadLimits;
  const [page] = await house.pictures.inspect(file.path, { name: file.name, maxPixels });
  const bytes = await readFile(file.path);
  if (page === undefined) throw new Error(`${file.name} has no page`);
  if (removePlace(bytes)) await writeFile(file.path, bytes);
  const { sha256 } = await house.store.files.put({ path: file.path });
  await rm(file.path, { force: true });
  const pyramid = pyramidOf({ ...page, hash: sha256 });
  return {
    ...(await findLines(call, { hash: sha256, sizePx: [page.widthPx, page.heightPx] })),
    hash: sha256,
    widthPx: page.widthPx,
    heightPx: page.heightPx,
    picture: pyramid.preview,
    pyramid,
  };
}

export const calibrationHandlers: Handlers<'listCalibrations' | 'addCalibration' | 'addCalibrationPicture'> = {
  listCalibrations: async ({ house }) => {
    const all = await house.store.calibrations.list();
    return { calibrations: await Promise.all(all.toReversed().map((one) => answerOf(house, one))) };
  },
  addCalibration,
  addCalibrationPicture: addPicture,
};
