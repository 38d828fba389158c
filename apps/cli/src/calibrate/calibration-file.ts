import type { EyepieceRuler, PhotoCalibration } from '@veligrid/imaging';
import { VeligridError, type Warning } from '@veligrid/model';

/** A calibration as it is kept; the published form is docs/calibration.schema.json. */
export interface CalibrationFile {
  readonly kind: 'veligrid-calibration';
  readonly formatVersion: 1;
  readonly name: string;
  readonly microscope: string | null;
  readonly objective: string | null;
  /** ISO 8601. */
  readonly madeAt: string;
  /** Days after which counting warns that it is old. */
  readonly validDays: number;
  /** The calibrated picture. */
  readonly photo: { readonly name: string; readonly widthPx: number; readonly heightPx: number };
  /** What of known size was in the picture, and its size in micrometres. */
  readonly target: { readonly kind: PhotoCalibration['target']['kind']; readonly sizeUm: number };
  readonly umPerPx: number;
  readonly relativeStandardUncertainty: number;
  readonly eyepieceRuler: EyepieceRuler | null;
  readonly quality: PhotoCalibration['quality'];
  readonly warnings: readonly Warning[];
}

/** What a person says of a calibration. */
export interface CalibrationNotes {
  readonly name: string;
  readonly microscope: string | null;
  readonly objective: string | null;
  readonly madeAt: string;
  readonly validDays: number;
  readonly photo: string;
}

/** Size of the target in micrometres. */
function targetSizeUm({ target }: Pick<PhotoCalibration, 'target'>): number {
  if (target.kind === 'ruler') return target.divisionUm;
  return target.kind === 'grid' ? target.pitchUm : target.distanceUm;
}

/** The file of a calibration. */
export function calibrationFile(calibration: PhotoCalibration, notes: CalibrationNotes): CalibrationFile {
  const { widthPx, heightPx, umPerPx, relativeStandardUncertainty, eyepieceRuler, quality, warnings } = calibration;
  const { name, microscope, objective, madeAt, validDays, photo } = notes;
  return {
    kind: 'veligrid-calibration',
    formatVersion: 1,
    name,
    microscope,
    objective,
    madeAt,
    validDays,
    photo: { name: photo, widthPx, heightPx },
    target: { kind: calibration.target.kind, sizeUm: targetSizeUm(calibration) },
    umPerPx,
    relativeStandardUncertainty,
    eyepieceRuler,
    quality,
    warnings,
  };
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isAboveZero = (value: unknown): value is number => typeof value === 'number' && value > 0 && value < Infinity;
const isText = (value: unknown): value is string => typeof value === 'string' && value !== '';

/** Fields that must hold, with what is said when they don't. */
const CHECKS: readonly (readonly [(value: Record<string, unknown>) => boolean, string])[] = [
  [({ kind }) => kind === 'veligrid-calibration', 'it is no calibration of veligrid calibrate'],
  [({ formatVersion }) => formatVersion === 1, 'its formatVersion is not 1, so it needs a newer Veligrid'],
  [({ name }) => isText(name), 'its name is missing'],
  [({ madeAt }) => isText(madeAt) && !Number.isNaN(Date.parse(madeAt)), 'its madeAt is no ISO 8601 time'],
  [({ validDays }) => isAboveZero(validDays), 'its validDays is not a number above 0'],
  [({ umPerPx }) => isAboveZero(umPerPx), 'its umPerPx is not a number above 0'],
  [
    ({ relativeStandardUncertainty }) => isAboveZero(relativeStandardUncertainty),
    'its relativeStandardUncertainty is not a number above 0',
  ],
  [({ photo }) => hasNumbers(photo, ['widthPx', 'heightPx']), 'the size of its photo is missing'],
  [
    ({ eyepieceRuler }) =>
      eyepieceRuler === null || hasNumbers(eyepieceRuler, ['divisionPx', 'divisionUm', 'relativeStandardUncertainty']),
    'its eyepieceRuler is neither null nor complete',
  ],
  [({ warnings }) => Array.isArray(warnings), 'its warnings are missing'],
];

function hasNumbers(value: unknown, names: readonly string[]): boolean {
  return isRecord(value) && names.every((name) => isAboveZero(value[name]));
}

/**
 * Checks a calibration that was read from a file.
 *
 * @throws VeligridError `bad-argument` naming the file and the field
 */
export function parseCalibration(value: unknown, path: string): CalibrationFile {
  const record = isRecord(value) ? value : {};
  const problem = CHECKS.find(([holds]) => !holds(record));
  if (problem === undefined) return value as CalibrationFile;
  throw new VeligridError(
    'bad-argument',
    `${path} can't be used: ${problem[1]}. Calibrate again with veligrid calibrate.`,
  );
}
