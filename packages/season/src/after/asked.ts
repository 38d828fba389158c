import type { Recorded, Stay } from '@veligrid/hatchery';
import type { BatchFields, Kept, TankFields } from '@veligrid/storage';
import type { Desk } from '../record/desk.js';
import type { CountedSample } from './counted-sample.js';
import type { PathStay } from './count-path.js';

/** A count with everything recorded that what follows from it rests on. */
export interface Asked {
  readonly desk: Desk;
  readonly counted: CountedSample;
  readonly tank: Kept<TankFields> | null;
  readonly batch: Kept<BatchFields> | null;
  readonly species: string;
  readonly spawnedAt: string | null;
  readonly recorded: Recorded;
  readonly stays: readonly Stay[];
  /** Where it was counted; null for a sample of no tank or of one that was empty. */
  readonly stay: Stay | null;
  readonly path: readonly PathStay[];
  /** Signed-off counts along the path, this one among them, oldest first. */
  readonly counts: readonly CountedSample[];
  /** Mean of what was noted for the tanks along the path; null when nothing was. */
  readonly temperatureC: number | null;
}

/** Mean temperature noted along a path. */
export async function temperatureAlong({ parts }: Desk, path: readonly PathStay[]): Promise<number | null> {
  const noted = (await parts.waterNotes.list()).filter(
    ({ tankId, happenedAt, temperatureC }) =>
      temperatureC !== null &&
      path.some(({ stay, until }) => stay.tankId === tankId && stay.beganAt <= happenedAt && happenedAt <= until),
  );
  if (noted.length === 0) return null;
  const mean = noted.reduce((sum, { temperatureC }) => sum + (temperatureC ?? 0), 0) / noted.length;
  return Math.round(100 * mean) / 100;
}
