import type { Calibration } from '@veligrid/api';
import type { CalibrationFields, Entered } from '@veligrid/storage';

const DAY_MS = 86_400_000;

const goodUntil = (measuredAt: string, days: number): Date => new Date(Date.parse(measuredAt) + days * DAY_MS);

/** Whether a calibration had run out at a time. */
export const isOutOfDate = ({ measuredAt }: Pick<CalibrationFields, 'measuredAt'>, days: number, at: string): boolean =>
  goodUntil(measuredAt, days).getTime() < Date.parse(at);

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
    outOfDate: isOutOfDate(calibration, days, now.toISOString()),
  };
}
