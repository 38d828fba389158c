import type { SavedCalibration } from '@veligrid/imaging';
import type { Warning } from '@veligrid/model';
import type { CalibrationFile } from './calibration-file.js';
import { calibrationFolder, findCalibration } from './calibration-folder.js';

const MS_A_DAY = 86_400_000;

/** Warns of a calibration older than the days it is good for. */
function ageWarnings({ name, madeAt, validDays }: CalibrationFile, now: Date): Warning[] {
  if (now.getTime() - Date.parse(madeAt) <= validDays * MS_A_DAY) return [];
  const message = `The calibration ${name} was made on ${madeAt.slice(0, 10)}, more than ${String(validDays)} days ago. Calibrate again: microscopes are moved and cameras refitted.`;
  return [{ code: 'calibration-old', message }];
}

/**
 * The calibration for `count`, found by name or file.
 *
 * @param wanted name or file
 * @param folder where calibrations are kept; default the usual one
 * @throws VeligridError `bad-argument` when there is none or it is damaged
 */
export async function readCalibration(
  wanted: string,
  folder: string = calibrationFolder(),
  now: Date = new Date(),
): Promise<SavedCalibration> {
  const file = await findCalibration(wanted, folder);
  const { name, photo, umPerPx, relativeStandardUncertainty, eyepieceRuler } = file;
  const { widthPx, heightPx } = photo;
  return {
    name,
    sizePx: [widthPx, heightPx],
    umPerPx,
    relativeStandardUncertainty,
    eyepieceRuler,
    warnings: [...file.warnings, ...ageWarnings(file, now)],
  };
}
