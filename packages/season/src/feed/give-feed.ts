import type { RationFields } from '@veligrid/model';
import type { SeasonEntry } from '@veligrid/storage';
import { houseDay } from '../morning/day-bounds.js';
import type { Desk } from '../record/desk.js';
import { ISO_FORMATS } from '../record/formats.js';
import { Given } from '../record/given.js';
import { RATION } from '../record/kinds/care.js';

/** A dose of the sheet that is ticked off. */
export interface FeedTick {
  readonly day: string;
  readonly zone: string;
  readonly tankId: string;
  readonly cultureId: string;
  readonly litres: number;
}

const HALF_DAY_MS = 12 * 3_600_000;

/**
 * Records that a dose of the sheet was given: now, or at noon of a day that is over. One that was ticked off already, here
 * or by somebody else, is not recorded twice.
 *
 * @returns id of the ration that stands, and whether it was there before
 */
export async function giveFeed(
  desk: Desk,
  { day, zone, tankId, cultureId, litres }: FeedTick,
): Promise<{ readonly id: string; readonly before: boolean }> {
  const { begins, ends } = houseDay(day, zone);
  const there = (await desk.parts.rations.list()).find(
    (one: SeasonEntry<RationFields>) =>
      one.tankId === tankId && one.cultureId === cultureId && one.happenedAt >= begins && one.happenedAt < ends,
  );
  if (there !== undefined) return { id: there.id, before: true };
  const now = desk.now();
  const at = now >= begins && now < ends ? now : new Date(Date.parse(begins) + HALF_DAY_MS).toISOString();
  const texts = new Map([
    ['tank', tankId],
    ['culture', cultureId],
    ['litres', String(litres)],
    ['at', at],
  ]);
  const { id } = await RATION.keep(new Given(texts, ISO_FORMATS), desk);
  return { id, before: false };
}
