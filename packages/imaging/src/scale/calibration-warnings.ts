import type { Warning } from '@veligrid/model';
import type { PhotoCalibration } from './calibration.js';

/** Scales farther apart than this disagree. */
const MOST_DISAGREEMENT = 0.02;
/** Directions whose scales differ by more than this, and a scale that changes by more along a ruler, are a warning. */
const MOST_UNEQUAL = 0.01;

const percent = (value: number): string => `${(100 * Math.abs(value)).toFixed(1)} %`;

/** What the user should know of a calibration: unequal directions, distortion, disagreement with what the file states. */
export function calibrationWarnings({
  umPerPx,
  quality,
  hint,
}: Pick<PhotoCalibration, 'umPerPx' | 'quality' | 'hint'>): Warning[] {
  const warnings: Warning[] = [];
  const { axisRatio, drift, bulge } = quality;
  if (axisRatio !== null && Math.abs(axisRatio - 1) > MOST_UNEQUAL) {
    const message = `The scale differs by ${percent(axisRatio - 1)} between the two directions of the squares: the slide is tilted or the camera's pixels are not square, so lengths depend on how a larva lies.`;
    warnings.push({ code: 'scale-unequal', message });
  }
  if (drift !== null && Math.abs(drift) > MOST_UNEQUAL) {
    const message = `The scale changes by ${percent(drift)} along the ruler: the camera looks at the slide askew.`;
    warnings.push({ code: 'scale-distorted', message });
  }
  if (bulge !== null && Math.abs(bulge) > MOST_UNEQUAL) {
    const message = `The scale differs by ${percent(bulge)} between the middle and the ends of the ruler: the lens distorts. Keep what is measured near the middle.`;
    warnings.push({ code: 'scale-distorted', message });
  }
  if (hint !== null && Math.abs(hint.umPerPx / umPerPx - 1) > MOST_DISAGREEMENT) {
    const message = `The file itself states ${hint.umPerPx.toPrecision(4)} um/px, the calibration is ${umPerPx.toPrecision(4)} um/px. Check which division the ruler has.`;
    warnings.push({ code: 'scale-disagrees-with-tag', message });
  }
  return warnings;
}
