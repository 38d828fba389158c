import type { Field } from '@veligrid/model';
import { findGrid, type CellKind, type GridFit } from '../grid/find-grid.js';
import type { Page } from '../photo/read-photo.js';
import type { ScaleEvidence } from './choose-scale.js';
import { seenRuler, type SeenRuler } from './seen-ruler.js';
import { useCalibration, type SavedCalibration } from './use-calibration.js';

/** What the user says of a photo's scale. */
export interface ScaleWishes {
  readonly cell: CellKind;
  /** Given scale in micrometres per pixel, or null. */
  readonly scaleUmPerPx: number | null;
  /** Saved calibration, or null. */
  readonly calibration: SavedCalibration | null;
}

/** All that a page and the user's wishes say of its scale; a ruler is looked for only where it could matter. */
export function scaleEvidence(
  page: Page,
  field: Field,
  wishes: ScaleWishes,
): { readonly grid: GridFit | null; readonly evidence: ScaleEvidence } {
  const { raster, scaleHint: hint } = page;
  const { cell, scaleUmPerPx: givenUmPerPx, calibration } = wishes;
  const lines = findGrid(raster, field, { cell });
  const grid = lines.found ? lines : null;
  const evidence = {
    givenUmPerPx,
    calibration: calibration === null ? null : useCalibration(calibration, raster),
    grid,
    ruler: rulerInSight(page, field, { ...wishes, grid }),
    hint,
  };
  return { grid, evidence };
}

function rulerInSight(
  { raster }: Page,
  field: Field,
  known: ScaleWishes & { readonly grid: GridFit | null },
): SeenRuler | null {
  const { grid, scaleUmPerPx, calibration } = known;
  const calibrated = scaleUmPerPx === null ? (calibration?.eyepieceRuler ?? null) : null;
  if (calibrated !== null) return seenRuler(raster, field, calibrated);
  // a stage micrometer has no ruled squares, and an eyepiece's ruler says nothing against a scale that is known
  const isKnown = scaleUmPerPx !== null || calibration !== null;
  if (grid !== null || (isKnown && field.kind === 'round')) return null;
  return seenRuler(raster, field, null);
}
