import { estimateCount, handTally, pooledHistory, type CountInput } from '@veligrid/estimation';
import { countDraw, type Draws } from './draws.js';

/** Earlier counts that help: none, the starting CV, or 15 triplicates of the same hatchery (30 degrees of freedom). */
export type Help = 'none' | 'starting' | 'own';

/** One situation that the limits have to get right. */
export interface Situation {
  readonly subsamples: number;
  /** True mean count of a subsample. */
  readonly mean: number;
  /** True coefficient of variation between subsamples, beyond counting error. */
  readonly cv: number;
  readonly help: Help;
}

/** How the limits of one situation did. */
export interface Coverage extends Situation {
  /** Part of the samples whose limits held the truth. */
  readonly covered: number;
  /** The same for exact limits of counting error alone. */
  readonly countingAlone: number;
  /** Median of the limits' ln(high / low) over that of someone who knew the true scatter. */
  readonly widthOverIdeal: number;
}

const PAST_SAMPLES = 15;
const PAST_SUBSAMPLES = 3;

/** History as a hatchery would have it: worked out from counts drawn like those of today. */
function pastCounts({ mean, cv }: Situation, draws: Draws): number[][] {
  return Array.from({ length: PAST_SAMPLES }, () =>
    Array.from({ length: PAST_SUBSAMPLES }, () => countDraw(mean, cv, draws)),
  );
}

function historyOf(situation: Situation, draws: Draws): NonNullable<CountInput['history']> {
  return situation.help === 'own' ? pooledHistory(pastCounts(situation, draws)) : situation.help;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

const EXACT = { container: { volumeMl: 1000, relativeStandardUncertainty: 0 }, volumeRelativeStandardUncertainty: 0 };
const NORMAL_95 = 1.959964;

/**
 * Draws samples of one situation and counts how often the nominal 95 % limits of the total hold the truth.
 *
 * @param samples how many, 1 or more
 */
export function coverageOf(situation: Situation, samples: number, draws: Draws): Coverage {
  const { subsamples, mean, cv } = situation;
  const truth = mean * EXACT.container.volumeMl;
  const holds = ({ low, high }: { readonly low: number; readonly high: number }): number =>
    low <= truth && truth <= high ? 1 : 0;
  let covered = 0;
  let countingAlone = 0;
  const widths: number[] = [];
  for (let i = 0; i < samples; i += 1) {
    const counts = Array.from({ length: subsamples }, () => handTally(countDraw(mean, cv, draws)));
    const { total, countingErrorAlone } = estimateCount({
      ...EXACT,
      history: historyOf(situation, draws),
      subsamples: counts.map((count) => ({ count, volumeMl: 1 })),
    });
    covered += holds(total);
    countingAlone += holds(countingErrorAlone);
    widths.push(total.low > 0 ? Math.log(total.high / total.low) : Infinity);
  }
  const ideal = 2 * NORMAL_95 * Math.sqrt((1 / mean + cv ** 2) / subsamples);
  return {
    ...situation,
    covered: covered / samples,
    countingAlone: countingAlone / samples,
    widthOverIdeal: median(widths) / ideal,
  };
}

const MEANS = [5, 30, 150];
const CVS = [0, 0.1, 0.2];

function situations(subsamples: readonly number[], help: Help): Situation[] {
  return subsamples.flatMap((n) => MEANS.flatMap((mean) => CVS.map((cv) => ({ subsamples: n, mean, cv, help }))));
}

/** Everything simulated, in the order of the table. */
export const SITUATIONS: readonly Situation[] = [
  ...situations([3, 5, 8], 'none'),
  ...situations([1, 2], 'starting'),
  ...situations([1, 2, 3, 5, 8], 'own'),
  ...situations([1, 2], 'none'),
];

/** What nominal 95 % limits must cover at least. */
const LEAST = 0.93;
/** What they may cover at most with 5 and 8 subsamples that really scatter. */
const MOST = 0.98;

/** What is wrong with the coverage of a situation; null when nothing is. */
export function shortfall({ subsamples, mean, cv, help, covered }: Coverage): string | null {
  const name = `${String(subsamples)} subsamples, mean ${String(mean)}, CV ${String(cv)}, history ${help}: ${covered.toFixed(3)} covered`;
  if (covered < LEAST) return `${name}, less than ${String(LEAST)}`;
  if (covered > MOST && subsamples >= 5 && mean >= 30 && cv >= 0.1) return `${name}, more than ${String(MOST)}`;
  return null;
}
