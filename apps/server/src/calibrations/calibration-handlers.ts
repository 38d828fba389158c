import { readFile, rm, writeFile } from 'node:fs/promises';
import type { Calibration, CalibrationPicture } from '@veligrid/api';
import { inspectPhoto, removePlace } from '@veligrid/imaging';
import type { CalibrationFields, Entered } from '@veligrid/storage';
import type { Call, Handlers } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { readSettings } from '../people/settings.js';
import { pyramidOf } from '../photos/pictures.js';
import { calibrationAnswer } from './calibration-answer.js';

/** Standard uncertainty of one point that somebody reads off a picture, px; common practice, no source. */
const POINTING_PX = 0.7;
/** Points nearer than this give a scale with a standard uncertainty of over 1 %. */
const LEAST_DISTANCE_PX = 100;

type Source = Call<'addCalibration'>['body']['source'];
type Scale = Pick<CalibrationFields, 'umPerPx' | 'relativeStandardUncertainty' | 'measuredOn'>;

function scaleOf(source: Source): Scale {
  if (source.way === 'given') {
    return { umPerPx: source.umPerPx, relativeStandardUncertainty: null, measuredOn: 'given as a number' };
  }
  if (source.way === 'picture') {
    throw new ProblemError('refused', 'No lines were found on this picture. Set two points on it instead.');
  }
  const [[x1, y1], [x2, y2]] = source.points;
  const distancePx = Math.hypot(x2 - x1, y2 - y1);
  if (distancePx < LEAST_DISTANCE_PX) {
    throw new ProblemError('bad-request', 'The two points are less than 100 px apart. Set points farther apart.');
  }
  return {
    umPerPx: source.distanceUm / distancePx,
    relativeStandardUncertainty: (Math.SQRT2 * POINTING_PX) / distancePx,
    measuredOn: `two points ${String(source.distanceUm)} um apart`,
  };
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
  const scale = scaleOf(body.source);
  const fields: CalibrationFields = {
    microscopeId: await microscopeId(house, body.microscope, by),
    objective: body.objective,
    ...scale,
    widthPx: null,
    measuredAt: house.now().toISOString(),
  };
  return answerOf(house, await house.store.calibrations.append(fields, { by }));
}

async function addPicture({ house, files }: Call<'addCalibrationPicture'>): Promise<CalibrationPicture> {
  const [file] = files;
  if (file === undefined) throw new ProblemError('bad-request', 'Send one picture.');
  const bytes = await readFile(file.path);
  const [page] = await inspectPhoto(bytes, { name: file.name, maxPixels: house.uploadLimits.pixels });
  if (page === undefined) throw new Error(`${file.name} has no page`);
  if (removePlace(bytes)) await writeFile(file.path, bytes);
  const { sha256 } = await house.store.files.put({ path: file.path });
  await rm(file.path, { force: true });
  const pyramid = pyramidOf({ ...page, hash: sha256 });
  return {
    id: sha256,
    hash: sha256,
    widthPx: page.widthPx,
    heightPx: page.heightPx,
    picture: pyramid.preview,
    pyramid,
    found: null,
    why: 'Set two points on the picture whose distance you know.',
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
