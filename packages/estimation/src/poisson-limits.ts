import { badArgument } from '@veligrid/model';
import type { Level, Limits } from './limits.js';
import { chiSquareQuantile } from './special-functions.js';

/**
 * Exact limits for the mean behind one count (Garwood 1936, Biometrika 28:437): counting error alone. Assumes animals
 * fall independently, so it is right only for a perfectly mixed sample and a faultless count.
 *
 * @param count number counted, 0 or more
 * @param level two-sided level, by default 0.95
 */
export function poissonLimits(count: number, level: Level = 0.95): Limits {
  if (!(count >= 0)) throw badArgument('count', 'a number of 0 or more', count);
  const tail = (1 - level) / 2;
  return {
    estimate: count,
    low: count === 0 ? 0 : chiSquareQuantile(tail, 2 * count) / 2,
    high: chiSquareQuantile(1 - tail, 2 * count + 2) / 2,
  };
}

/**
 * Smallest count whose upper exact limit is at most a part above it. Assumes a random spread of animals.
 *
 * @param part wanted precision, above 0, for example 0.2
 * @param level two-sided level, by default 0.95
 */
export function countForPrecision(part: number, level: Level = 0.95): number {
  if (!(part >= 0.001)) throw badArgument('the wanted precision', 'a part of 0.001 or more', part);
  const enough = (count: number): boolean => poissonLimits(count, level).high / count - 1 <= part;
  let high = 1;
  while (!enough(high)) high *= 2;
  let low = high / 2;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle;
  }
  return high;
}

/** Half-width 2/sqrt(C) of Lund, Kipling and Le Cren 1958 (Hydrobiologia 11:143), for a random spread only. */
export const lundHalfWidth = (count: number): number => 2 / Math.sqrt(count);
