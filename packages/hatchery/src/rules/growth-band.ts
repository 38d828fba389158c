import type { Figure, FigureBook } from '../presets/figure-book.js';
import { figure, numberOf, pointsOf } from '../presets/figure-book.js';
import { arrheniusFactor } from './arrhenius.js';
import { heightAt, whereHeight } from './curve.js';

/** Species band of mean length at one age. */
export interface GrowthBand {
  readonly slowUm: number;
  readonly fastUm: number;
}

/** The band of a species at one temperature. */
export interface SpeciesBand {
  /** Temperature that was used, C. */
  readonly temperatureC: number;
  /** Temperatures between which the edges hold as they stand, C. */
  readonly fromC: number;
  readonly toC: number;
  /** How many days of the edges one day at this temperature counts for, at most 1. */
  readonly pace: number;
  /** Edges at an age in days after fertilisation; null before day 1. */
  readonly at: (ageDays: number) => GrowthBand | null;
  /** Ages in days at which the fast and the slow edge reach a length; null where an edge never does. */
  readonly daysTo: (lengthUm: number) => { readonly fast: number | null; readonly slow: number | null };
  readonly figures: readonly Figure[];
}

const FIRST_DAY = 1;

/**
 * Band of mean length by age and temperature. Both edges are straight lines between points and hold as they stand within
 * their temperatures; in colder water a day counts for exp(T_A/T_low - T_A/T) of a day (Arrhenius), in warmer water
 * larvae are not taken to grow faster.
 *
 * @param temperatureC mean since fertilisation, C; without it the band as it stands
 * @param book for `growth.fast`, `growth.slow`, `growth.temperature-low-c`, `-high-c` and `temperature.arrhenius-k`
 */
export function speciesBand(temperatureC: number | null, book: FigureBook): SpeciesBand {
  const [fast, slow] = [figure(book, 'growth.fast'), figure(book, 'growth.slow')];
  const [low, high] = [figure(book, 'growth.temperature-low-c'), figure(book, 'growth.temperature-high-c')];
  const arrhenius = figure(book, 'temperature.arrhenius-k');
  const [fromC, toC] = [numberOf(low), numberOf(high)];
  const cold = temperatureC !== null && temperatureC < fromC;
  const pace = cold ? arrheniusFactor(fromC, temperatureC, numberOf(arrhenius)) : 1;
  const [fastPoints, slowPoints] = [pointsOf(fast), pointsOf(slow)];
  const days = (points: typeof fastPoints, lengthUm: number): number | null => {
    const day = whereHeight(points, lengthUm);
    return day === null ? null : day / pace;
  };
  return {
    temperatureC: temperatureC ?? fromC,
    fromC,
    toC,
    pace,
    at: (ageDays) =>
      ageDays * pace < FIRST_DAY
        ? null
        : { slowUm: heightAt(slowPoints, ageDays * pace), fastUm: heightAt(fastPoints, ageDays * pace) },
    daysTo: (lengthUm) => ({ fast: days(fastPoints, lengthUm), slow: days(slowPoints, lengthUm) }),
    figures: cold ? [fast, slow, low, high, arrhenius] : [fast, slow, low, high],
  };
}
