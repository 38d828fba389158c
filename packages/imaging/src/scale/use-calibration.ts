import type { Warning } from '@veligrid/model';
import type { EyepieceRuler } from './calibration.js';

/** A saved calibration, as counting needs it. */
export interface SavedCalibration {
  /** Name for messages. */
  readonly name: string;
  /** Size of the calibrated picture, pixels; null when it holds for pictures of any size, as a number given by hand does. */
  readonly sizePx: readonly [width: number, height: number] | null;
  readonly umPerPx: number;
  readonly relativeStandardUncertainty: number;
  readonly eyepieceRuler: EyepieceRuler | null;
  /** What is to be said of it with every photo, for example that it is old. */
  readonly warnings?: readonly Warning[];
}

/** A calibration as it applies to one photo. */
export interface UsedCalibration {
  /** Scale of this photo, or null when the photo's shape is another one. */
  readonly umPerPx: number | null;
  readonly relativeStandardUncertainty: number;
  readonly warnings: readonly Warning[];
}

/** Pictures whose sides have the same ratio within this show the same, larger or smaller: saving rounds to whole pixels. */
const SAME_RATIO = 0.005;

const sizeWords = (width: number, height: number): string => `${String(width)} x ${String(height)} px`;

/**
 * Fits a calibration to a photo. A photo of another size but the same shape is taken for the same view saved larger or smaller; of
 * another shape it may be cut out or taken otherwise, and the calibration is not used.
 *
 * @param size of the photo, pixels; standing or lying makes no difference
 */
export function useCalibration(
  saved: SavedCalibration,
  size: { readonly width: number; readonly height: number },
): UsedCalibration {
  const { relativeStandardUncertainty, warnings = [], sizePx } = saved;
  if (sizePx === null) return { umPerPx: saved.umPerPx, relativeStandardUncertainty, warnings };
  const [long, short] = [Math.max(size.width, size.height), Math.min(size.width, size.height)];
  const [savedLong, savedShort] = [Math.max(...sizePx), Math.min(...sizePx)];
  if (long === savedLong && short === savedShort) {
    return { umPerPx: saved.umPerPx, relativeStandardUncertainty, warnings };
  }
  const was = sizeWords(...sizePx);
  const is = sizeWords(size.width, size.height);
  if (Math.abs((long * savedShort) / (short * savedLong) - 1) > SAME_RATIO) {
    const message = `The photo is ${is}, but the calibration ${saved.name} was made on ${was}, which has another shape: its scale was not used. Calibrate with a picture taken as this one is.`;
    return {
      umPerPx: null,
      relativeStandardUncertainty,
      warnings: [...warnings, { code: 'calibration-not-used', message }],
    };
  }
  const umPerPx = (saved.umPerPx * savedLong) / long;
  const message = `The photo is ${is}, but the calibration ${saved.name} was made on ${was}: it was taken for the same view saved at another size, ${umPerPx.toPrecision(4)} um/px. Check this if the camera's zoom or resolution was changed.`;
  return {
    umPerPx,
    relativeStandardUncertainty,
    warnings: [...warnings, { code: 'calibration-resized', message }],
  };
}
