import type { Calibration } from '@veligrid/api';
import { goodUntil } from '@veligrid/jobs';
import type { CalibrationFields, Entered } from '@veligrid/storage';

/** Whether a calibration had run out at a time. */
const isOutOfDate = ({ measuredAt }: CalibrationFields, days: number, at: Date): boolean =>
  goodUntil(measuredAt, days) < at;

/** A calibration as it is answered. */
export function calibrationAnswer(
  calibration: Entered<CalibrationFields>,
  microscope: string,
  { days, now }: { readonly days: number; readonly now: Date },
): Calibration {
  const { id, objective, umPerPx, relativeStandardUncertainty, measuredOn, measuredAt, by } = calibration;
  return {
    id,
    microscope,
    objective,
    umPerPx,
    relativeStandardUncertainty,
    measuredOn,
    made: { by, at: measuredAt },
    goodUntil: goodUntil(measuredAt, days).toISOString(),
    outOfDate: isOutOfDate(calibration, days, now),
  };
}
