import { estimateCount, exactly, handTally, ratioLimits, type Limits } from '@veligrid/estimation';
import type { MoveFields, SettingEventFields, SpatCountFields } from '@veligrid/model';

/** What came of a setting. */
export interface Reached {
  /** Spat on all shells; null when shells were not counted or nobody looked. */
  readonly spat: Limits | null;
  /** Spat over larvae put to set. */
  readonly efficiency: Limits | null;
}

/** Larvae put to set, with the limits of the move that took them out when it still says the same number. */
export function larvaeOf({ larvae }: SettingEventFields, move: MoveFields | null): Limits {
  if (move === null || move.low === null || move.high === null || move.number !== larvae) return exactly(larvae);
  return { estimate: larvae, low: move.low, high: move.high };
}

/** Shells are counted, not measured. */
const EXACT = { relativeStandardUncertainty: 0 } as const;

/**
 * Spat on all shells from a count on some, as of a part of a whole with the spread of counts that were not repeated; and the
 * efficiency, spat over larvae, by the limits of both.
 *
 * @param last the latest spat count, with some shells; null when there is none
 */
export function reachedBy(
  setting: SettingEventFields,
  move: MoveFields | null,
  last: Pick<SpatCountFields, 'shells' | 'spat'> | null,
): Reached {
  if (last === null || setting.shells === null) return { spat: null, efficiency: null };
  const { total } = estimateCount({
    container: { volumeMl: setting.shells, ...EXACT },
    volumeRelativeStandardUncertainty: 0,
    subsamples: [{ count: handTally(last.spat), volumeMl: last.shells }],
  });
  return { spat: total, efficiency: last.spat === 0 ? null : ratioLimits(total, larvaeOf(setting, move)) };
}
