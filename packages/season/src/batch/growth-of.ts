import type { Limits } from '@veligrid/estimation';
import { speciesBand, type Figure, type FigureBook, type SpeciesBand } from '@veligrid/hatchery';
import type { Named } from '../history/house-names.js';
import type { CountedSample } from './counted-samples.js';

/** Mean length at one count. */
export interface GrowthPoint {
  readonly sample: Named;
  readonly tank: Named | null;
  readonly at: string;
  readonly day: number;
  readonly measured: number;
  /** Null for a single larva. */
  readonly meanUm: Limits | null;
  readonly percentiles: readonly { readonly percent: number; readonly lengthUm: number }[];
  /** Where the mean lies to the band of its age; `below` and `above` only when its limits do so wholly. */
  readonly place: 'below' | 'within' | 'above' | 'no-band';
}

/** Growth of a batch beside the band of its species. */
export interface GrowthCourse {
  readonly points: readonly GrowthPoint[];
  /** Edges of the band by day. */
  readonly band: readonly { readonly day: number; readonly slowUm: number; readonly fastUm: number }[];
  /** Mean of the temperatures noted; null when none was. */
  readonly temperatureC: number | null;
  /** Temperatures between which the band holds as it stands, and how many days of it one day counts for; null without. */
  readonly bandAt: { readonly fromC: number; readonly toC: number; readonly pace: number } | null;
  readonly figures: readonly Figure[];
}

/** Days between points of the band. */
const STEP = 0.5;
/** Days that the band goes on after the last count. */
const AHEAD = 2;
/** Days that are shown of a batch that was not measured yet. */
const AT_FIRST = 14;

const bandOf = (temperatureC: number | null, book: FigureBook): SpeciesBand | null =>
  book.has('growth.fast') ? speciesBand(temperatureC, book) : null;

const placeOf = ({ low, high }: Limits, band: ReturnType<SpeciesBand['at']>): GrowthPoint['place'] => {
  if (band === null) return 'no-band';
  return high < band.slowUm ? 'below' : low > band.fastUm ? 'above' : 'within';
};

/**
 * Growth of a batch, count by count.
 *
 * @param temperatureC mean since fertilisation; null when none was noted, and then the band is used as it stands
 * @param book as `speciesBand`; without a band for the species none is shown
 */
export function growthOf(
  samples: readonly CountedSample[],
  temperatureC: number | null,
  book: FigureBook,
): GrowthCourse {
  const band = bandOf(temperatureC, book);
  const points = samples.flatMap(({ sample, tank, at, day, result: { lengths } }): GrowthPoint[] => {
    if (lengths === null || day === null || lengths.measured === 0) return [];
    const { measured, mean: meanUm, percentiles } = lengths;
    const place = meanUm === null ? 'no-band' : placeOf(meanUm, band?.at(day) ?? null);
    return [{ sample, tank, at, day, measured, meanUm, percentiles, place }];
  });
  const last = Math.ceil(points.at(-1)?.day ?? AT_FIRST) + AHEAD;
  const days = Array.from({ length: Math.round(last / STEP) + 1 }, (_, i) => i * STEP);
  return {
    points,
    band: days.flatMap((day) => {
      const edges = band?.at(day) ?? null;
      return edges === null ? [] : [{ day, ...edges }];
    }),
    temperatureC,
    bandAt: band === null ? null : { fromC: band.fromC, toC: band.toC, pace: band.pace },
    figures: band?.figures ?? [],
  };
}
