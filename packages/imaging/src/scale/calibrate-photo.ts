import { badArgument, VeligridError, type Field } from '@veligrid/model';
import { findField } from '../field/find-field.js';
import { findGrid, type GridFit } from '../grid/find-grid.js';
import { gridLines } from '../grid/grid-lines.js';
import { readPhoto, type Page } from '../photo/read-photo.js';
import type { Raster } from '../raster.js';
import { findRuler, type NoRuler, type RulerFit } from '../ruler/find-ruler.js';
import { shrunkRuler } from '../ruler/shrunk-ruler.js';
import type {
  CalibrationQuality,
  CalibrationTarget,
  EyepieceRuler,
  LinePx,
  NoCalibration,
  PhotoCalibration,
} from './calibration.js';
import { calibrationWarnings } from './calibration-warnings.js';
import { pointScale } from './point-distance.js';
import { withRulingTolerance } from './ruling-tolerance.js';

/** How a picture is calibrated. */
export interface CalibrateOptions {
  /** Name for messages. Default: the last part of the path, or `photo` for bytes. */
  readonly name?: string;
  /** Largest picture in pixels. Default 120 million. */
  readonly maxPixels?: number;
  /** By how much the ruling itself may be off from its first line seen to its last, micrometres. Default 0. */
  readonly toleranceUm?: number;
}

/** Fewer parallel lines say nothing of how well they fit. */
const LEAST_LINES = 3;
/** Lines that lie farther from their places than this are no scale, pixels. */
const MOST_RESIDUAL_PX = 1;
const REMEDY_POINTS = 'Photograph it sharp and square on, or give two points and their distance.';

const none = (reason: string): NoCalibration => ({ found: false, reason });

/** What one kind of target gives. */
interface Measured {
  readonly umPerPx: number;
  readonly relativeStandardUncertainty: number;
  readonly quality: CalibrationQuality;
  /** Length that the scale rests on, micrometres. */
  readonly spanUm: number;
  readonly linesPx: readonly LinePx[];
  /** Ruler that gave the scale, if one did. */
  readonly ruler: RulerFit | null;
}

/**
 * Takes the scale of a picture from something of known size in it: a ruler (stage micrometer or eyepiece ruler), ruled squares, or two
 * points. A ruler of the eyepiece that is in sight as well is measured too. Nothing is returned that is not certain to about 1 %:
 * fewer than three lines, lines that stray, and divisions that might be half or twice the true one are refused with the reason.
 *
 * @param source path of a photo, or its bytes; of a file with several pages the first is taken
 * @returns the calibration, or the reason why there is none
 * @throws VeligridError `unreadable-photo`, or `bad-argument` for a size or a point that can't be
 */
export async function calibratePhoto(
  source: Uint8Array | string,
  target: CalibrationTarget,
  options: CalibrateOptions = {},
): Promise<PhotoCalibration | NoCalibration> {
  checkTarget(target);
  const { toleranceUm = 0, ...reading } = options;
  for await (const page of readPhoto(source, reading)) return calibratePage(page, target, toleranceUm);
  throw new VeligridError('unreadable-photo', 'The file holds no picture.');
}

function checkTarget(target: CalibrationTarget): void {
  const [name, value] =
    target.kind === 'ruler'
      ? ['divisionUm', target.divisionUm]
      : target.kind === 'grid'
        ? ['pitchUm', target.pitchUm]
        : ['distanceUm', target.distanceUm];
  if (!(value > 0 && value < Infinity)) throw badArgument(name, 'a number of micrometres above 0', value);
}

function calibratePage(page: Page, target: CalibrationTarget, toleranceUm: number): PhotoCalibration | NoCalibration {
  const { raster, scaleHint: hint } = page;
  const field = findField(raster);
  const measured = measure(raster, field, target);
  if ('found' in measured) return measured;
  const { umPerPx, quality, linesPx } = measured;
  const relativeStandardUncertainty = withRulingTolerance(
    measured.relativeStandardUncertainty,
    toleranceUm,
    measured.spanUm,
  );
  return {
    found: true,
    widthPx: raster.width,
    heightPx: raster.height,
    umPerPx,
    relativeStandardUncertainty,
    target,
    quality,
    eyepieceRuler: eyepieceRuler(raster, field, measured),
    linesPx,
    hint,
    warnings: [...page.warnings, ...calibrationWarnings({ umPerPx, quality, hint })],
  };
}

function measure(raster: Raster, field: Field, target: CalibrationTarget): Measured | NoCalibration {
  if (target.kind === 'ruler') return fromRuler(raster, field, target.divisionUm);
  if (target.kind === 'grid') return fromGrid(raster, field, target.pitchUm);
  const scale = pointScale(target.points, target.distanceUm, raster);
  if (scale === null) return none('The two points are less than 100 px apart: pick points farther apart.');
  const quality = { lines: 2, hiddenLines: 0, residualPx: null, drift: null, bulge: null, axisRatio: null };
  return { ...scale, quality, spanUm: target.distanceUm, linesPx: [target.points], ruler: null };
}

function fromRuler(raster: Raster, field: Field, divisionUm: number): Measured | NoCalibration {
  const fine = findRuler(raster, field, { told: true });
  // lines far apart are sought in a smaller copy
  const ruler: RulerFit | NoRuler = fine.found ? fine : shrunkRuler(raster, field);
  if (!ruler.found) return none(`${fine.found ? ruler.reason : fine.reason} ${REMEDY_POINTS}`);
  const { lines, hiddenLines, residualPx, drift, bulge, relativeStandardUncertainty, linesPx } = ruler;
  const quality = { lines, hiddenLines, residualPx, drift, bulge, axisRatio: null };
  const spanUm = (lines + hiddenLines - 1) * divisionUm;
  return { umPerPx: divisionUm / ruler.divisionPx, relativeStandardUncertainty, quality, spanUm, linesPx, ruler };
}

function fromGrid(raster: Raster, field: Field, pitchUm: number): Measured | NoCalibration {
  const even = findGrid(raster, field, { pitchUm });
  // squares longer one way are no grid of a cell, but their mean scale is worth having, with a warning
  const grid = even.found ? even : findGrid(raster, field, { pitchUm, unequal: true });
  if (!grid.found) return none(`${grid.reason} ${REMEDY_POINTS}`);
  const reason = gridRefusal(grid);
  if (reason !== null) return none(`${reason} ${REMEDY_POINTS}`);
  const quality = {
    lines: grid.linesU.length + grid.linesV.length,
    hiddenLines: 0,
    residualPx: grid.lineResidualPx,
    drift: null,
    bulge: null,
    axisRatio: grid.pitchRatio,
  };
  const { umPerPx, relativeStandardUncertainty } = grid;
  const spans = [grid.linesU, grid.linesV].map((numbers) => (numbers[numbers.length - 1] ?? 0) - (numbers[0] ?? 0));
  const spanUm = Math.max(...spans) * pitchUm;
  return { umPerPx, relativeStandardUncertainty, quality, spanUm, linesPx: gridLines(grid, raster), ruler: null };
}

function gridRefusal(grid: GridFit): string | null {
  const parallel = Math.max(grid.linesU.length, grid.linesV.length);
  if (parallel < LEAST_LINES) return `Only ${String(parallel)} parallel lines are in sight, and three are needed.`;
  if (grid.lineResidualPx <= MOST_RESIDUAL_PX) return null;
  return `The lines stray ${grid.lineResidualPx.toPrecision(2)} px from even spacing, which is too much for a scale.`;
}

/** The ruler in the eyepiece: one with a line along it, or any in a round field, where nothing else has one. */
function eyepieceRuler(raster: Raster, field: Field, measured: Measured): EyepieceRuler | null {
  const ruler = measured.ruler ?? findRuler(raster, field);
  if (!('found' in ruler) || !ruler.found) return null;
  if (!ruler.crossed && field.kind !== 'round') return null;
  return {
    divisionPx: ruler.divisionPx,
    divisionUm: ruler.divisionPx * measured.umPerPx,
    relativeStandardUncertainty: Math.hypot(ruler.relativeStandardUncertainty, measured.relativeStandardUncertainty),
  };
}
