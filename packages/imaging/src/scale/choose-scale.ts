import type { Scale, Warning } from '@veligrid/model';
import type { ScaleHint } from '../photo/scale-hint.js';
import { MICROMETER_DIVISION_UM, type SeenRuler } from './seen-ruler.js';
import type { UsedCalibration } from './use-calibration.js';

/** What is known of a photo's scale. */
export interface ScaleEvidence {
  /** Scale given by the user, micrometres per pixel, or null. */
  readonly givenUmPerPx: number | null;
  /** Saved calibration as it applies to this photo, or null. */
  readonly calibration?: UsedCalibration | null;
  /** Ruled lines seen, or null. */
  readonly grid: {
    readonly pitchUm: number;
    readonly umPerPx: number;
    readonly relativeStandardUncertainty: number;
  } | null;
  /** Ruler seen, or null. */
  readonly ruler?: SeenRuler | null;
  /** Scale written into the file, or null. */
  readonly hint: Pick<ScaleHint, 'umPerPx' | 'from'> | null;
}

/** The scale taken, and what the user should know of it. */
export interface ChosenScale {
  readonly scale: Scale;
  readonly warnings: readonly Warning[];
}

/** Relative standard uncertainty of a scale the user gives without one; common practice, no source. */
const GIVEN_UNCERTAINTY = 0.005;
/** Relative standard uncertainty of a scale that only the file states; common practice, no source. */
const HINT_UNCERTAINTY = 0.05;
/** A scale farther than this from what is seen in the photo is a warning. */
const MOST_DISAGREEMENT = 0.02;

const HINT_WORDS: Readonly<Record<ScaleHint['from'], string>> = {
  ome: 'OME-XML physical size',
  exif: 'EXIF resolution',
  tiff: 'TIFF resolution',
};

const figure = (value: number): string => value.toPrecision(4);
const agrees = (one: number, other: number): boolean => Math.abs(one / other - 1) <= MOST_DISAGREEMENT;

/** Warnings where lines or a ruler in the photo say something else than the scale in use, `what` it is called. */
function disagreements(umPerPx: number, what: string, { grid, ruler }: ScaleEvidence): Warning[] {
  const warnings: Warning[] = [];
  if (grid !== null && !agrees(umPerPx, grid.umPerPx)) {
    const message =
      `${what} is ${figure(umPerPx)} um/px, but the ruled lines, taken as ${figure(grid.pitchUm)} um apart, say ` +
      `${figure(grid.umPerPx)} um/px. Check the objective the scale was taken for, and the kind of cell.`;
    warnings.push({ code: 'scale-disagrees-with-grid', message });
  }
  if (ruler?.kind === 'micrometer' && !agrees(umPerPx, ruler.umPerPx)) {
    const message =
      `${what} is ${figure(umPerPx)} um/px, but the ruler in the photo, its divisions taken as ` +
      `${String(MICROMETER_DIVISION_UM)} um, says ${figure(ruler.umPerPx)} um/px. Check the objective the scale was taken for.`;
    warnings.push({ code: 'scale-disagrees-with-ruler', message });
  }
  return warnings;
}

function fromCalibration(calibration: UsedCalibration, evidence: ScaleEvidence): ChosenScale | null {
  const { ruler } = evidence;
  const { warnings } = calibration;
  if (ruler?.kind === 'eyepiece' && ruler.umPerPx !== null) {
    const { umPerPx, relativeStandardUncertainty } = ruler;
    const scale: Scale = { umPerPx, source: 'eyepiece-ruler', relativeStandardUncertainty };
    const off =
      calibration.umPerPx === null || agrees(calibration.umPerPx, umPerPx) ? [] : [zoomed(calibration, umPerPx)];
    return {
      scale,
      warnings: [...warnings, ...off, ...disagreements(umPerPx, 'By the ruler in the eyepiece the scale', evidence)],
    };
  }
  if (calibration.umPerPx === null) return null;
  const { umPerPx, relativeStandardUncertainty } = calibration;
  const scale: Scale = { umPerPx, source: 'calibration', relativeStandardUncertainty };
  return { scale, warnings: [...warnings, ...disagreements(umPerPx, 'The calibrated scale', evidence)] };
}

function zoomed({ umPerPx }: UsedCalibration, seen: number): Warning {
  const message =
    `By the ruler in the eyepiece the scale is ${figure(seen)} um/px, in the calibrated picture it was ` +
    `${figure(umPerPx ?? Number.NaN)} um/px. The ruler was taken: it holds if the objective is the same and only the camera's zoom or place has changed.`;
  return { code: 'scale-differs-from-calibration', message };
}

/** The scale of what is seen in the photo itself, or null. */
function fromSight({ grid, ruler }: ScaleEvidence): ChosenScale | null {
  if (grid !== null) {
    const { umPerPx, relativeStandardUncertainty, pitchUm } = grid;
    const scale: Scale = { umPerPx, source: 'ruled-cell', relativeStandardUncertainty, assumedPitchUm: pitchUm };
    const message = `The scale, ${figure(umPerPx)} um/px, rests on ruled lines taken as ${figure(pitchUm)} um apart.`;
    return { scale, warnings: [{ code: 'scale-from-ruled-cell', message }] };
  }
  if (ruler?.kind !== 'micrometer') return null;
  const { umPerPx, relativeStandardUncertainty } = ruler;
  const scale: Scale = {
    umPerPx,
    source: 'stage-micrometer',
    relativeStandardUncertainty,
    assumedPitchUm: MICROMETER_DIVISION_UM,
  };
  const message =
    `The scale, ${figure(umPerPx)} um/px, rests on a stage micrometer whose divisions are taken as ` +
    `${String(MICROMETER_DIVISION_UM)} um. Of another one: veligrid calibrate --ruler-um.`;
  return { scale, warnings: [{ code: 'scale-from-stage-micrometer', message }] };
}

function fromFile(hint: ScaleEvidence['hint']): ChosenScale {
  if (hint !== null) {
    const { umPerPx } = hint;
    const scale: Scale = { umPerPx, source: 'exif', relativeStandardUncertainty: HINT_UNCERTAINTY };
    const message =
      `The scale, ${figure(umPerPx)} um/px, is only what the file states (${HINT_WORDS[hint.from]}). ` +
      'Check it against a stage micrometer, or give the scale.';
    return { scale, warnings: [{ code: 'scale-from-photo-tag', message }] };
  }
  const message =
    'No scale: give one in um per pixel, or photograph the ruled lines. Objects are counted; lengths are left empty.';
  return {
    scale: { umPerPx: null, source: 'none', relativeStandardUncertainty: null },
    warnings: [{ code: 'no-scale', message }],
  };
}

/** An eyepiece's ruler nobody has calibrated: it could give the scale. */
function rulerToCalibrate({ ruler }: ScaleEvidence): Warning[] {
  if (ruler?.kind !== 'eyepiece' || ruler.umPerPx !== null) return [];
  const message =
    `A ruler is in sight, ${figure(ruler.divisionPx)} px a division, but how many micrometres a division is for this ` +
    'objective is not known: find out with veligrid calibrate, and count with --calibration.';
  return [{ code: 'ruler-not-calibrated', message }];
}

/**
 * Picks the scale of a photo: the given one, else the saved calibration (by the eyepiece's ruler where that is calibrated and in sight),
 * else that of the ruled lines, else that of a stage micrometer, else the one the file states (labelled, with a warning), else none.
 */
export function chooseScale(evidence: ScaleEvidence): ChosenScale {
  const { givenUmPerPx, calibration, hint } = evidence;
  if (givenUmPerPx !== null) {
    const scale: Scale = { umPerPx: givenUmPerPx, source: 'given', relativeStandardUncertainty: GIVEN_UNCERTAINTY };
    return { scale, warnings: disagreements(givenUmPerPx, 'The given scale', evidence) };
  }
  const calibrated = calibration ? fromCalibration(calibration, evidence) : null;
  if (calibrated !== null) return calibrated;
  const chosen = fromSight(evidence) ?? fromFile(hint);
  return { ...chosen, warnings: [...(calibration?.warnings ?? []), ...chosen.warnings, ...rulerToCalibrate(evidence)] };
}
