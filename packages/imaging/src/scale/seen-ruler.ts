import type { Field } from '@veligrid/model';
import type { Raster } from '../raster.js';
import { findRuler } from '../ruler/find-ruler.js';
import type { EyepieceRuler } from './calibration.js';

/** Division of the usual stage micrometer, 1 mm in 100 parts, micrometres (common practice, no source). */
export const MICROMETER_DIVISION_UM = 10;
/** Scales a microscope photo may have, micrometres per pixel. */
const USUAL_UM_PER_PX: readonly [number, number] = [0.15, 8];

/** A ruler in a photo, told apart by what it looks like. */
export type SeenRuler =
  | { readonly kind: 'micrometer'; readonly umPerPx: number; readonly relativeStandardUncertainty: number }
  | {
      readonly kind: 'eyepiece';
      readonly divisionPx: number;
      /** Scale by the calibrated division; null when it is not calibrated. */
      readonly umPerPx: number | null;
      readonly relativeStandardUncertainty: number;
    };

/**
 * Looks for a ruler in a photo. Only lines that are longer every five and ten are taken, for they show that no line is left out. A
 * ruler with a line along it, or seen in a round field, is the eyepiece's: its division means nothing until it is calibrated. Any other is
 * taken for a stage micrometer.
 *
 * @param calibrated the eyepiece's ruler as calibrated, or null
 */
export function seenRuler(raster: Raster, field: Field, calibrated: EyepieceRuler | null): SeenRuler | null {
  const ruler = findRuler(raster, field);
  if (!ruler.found || ruler.pattern !== 'tens') return null;
  const { divisionPx, relativeStandardUncertainty } = ruler;
  if (ruler.crossed || field.kind === 'round') {
    if (calibrated === null) return { kind: 'eyepiece', divisionPx, umPerPx: null, relativeStandardUncertainty };
    return {
      kind: 'eyepiece',
      divisionPx,
      umPerPx: calibrated.divisionUm / divisionPx,
      relativeStandardUncertainty: Math.hypot(relativeStandardUncertainty, calibrated.relativeStandardUncertainty),
    };
  }
  const umPerPx = MICROMETER_DIVISION_UM / divisionPx;
  if (umPerPx < USUAL_UM_PER_PX[0] || umPerPx > USUAL_UM_PER_PX[1]) return null;
  return { kind: 'micrometer', umPerPx, relativeStandardUncertainty };
}
