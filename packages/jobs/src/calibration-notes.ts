import type { EyepieceRuler } from '@veligrid/imaging';
import type { Warning } from '@veligrid/model';

/** What is known of the picture that a calibration was measured on; counting fits the scale to other pictures by it. */
export interface CalibrationNotes {
  /** Size of the picture, pixels; null when the scale was given as a number. */
  readonly sizePx: readonly [width: number, height: number] | null;
  /** The eyepiece's ruler when one was in sight, or null. */
  readonly eyepieceRuler: EyepieceRuler | null;
  /** What is to be said with every count that rests on it. */
  readonly warnings: readonly Warning[];
}

/** Setting that keeps the notes of a calibration; they are set once, with the calibration itself. */
export const calibrationNotesKey = (id: string): string => `calibration-notes:${id}`;

/** Setting with `calibrationDays`, after which a calibration is out of date. */
const HOUSE = 'house';

/** Days that a calibration is good for where the house has not said otherwise; common practice, no source. */
export const USUAL_CALIBRATION_DAYS = 180;

const DAY_MS = 86_400_000;

/** When a calibration runs out. */
export const goodUntil = (measuredAt: string, days: number): Date => new Date(Date.parse(measuredAt) + days * DAY_MS);

/** What is said of a count whose calibration had run out when the sample was taken; nothing when it had not. */
export function ageWarnings(measuredAt: string, days: number, takenAt: string): Warning[] {
  if (goodUntil(measuredAt, days).getTime() >= Date.parse(takenAt)) return [];
  const message = `The calibration of ${measuredAt.slice(0, 10)} was out of date when the sample was taken. Calibrate again and compare.`;
  return [{ code: 'calibration-out-of-date', message }];
}

/** Days that a calibration is good for in this house. */
export async function calibrationDays(settings: { get(key: string): Promise<unknown> }): Promise<number> {
  const house = (await settings.get(HOUSE)) as { readonly calibrationDays?: unknown } | null;
  const days = house?.calibrationDays;
  return typeof days === 'number' ? days : USUAL_CALIBRATION_DAYS;
}
