import type { CalibrationTarget, NoCalibration, PhotoCalibration } from '@veligrid/imaging';

/** A picture on which lines are to be found; plain data. */
export interface LinesTask {
  readonly path: string;
  readonly target: CalibrationTarget;
  readonly maxPixels: number;
}

/** What came of it; plain data, as an error loses its class between processes. */
export type LinesAnswer =
  | { readonly kind: 'measured'; readonly calibration: PhotoCalibration | NoCalibration }
  | { readonly kind: 'refused'; readonly reason: string };
