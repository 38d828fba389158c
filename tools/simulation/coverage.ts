import { estimateCount, handTally, type CountInput } from '@veligrid/estimation';

/** One situation that the limits have to get right. */
export interface Situation {
  /** Subsamples counted. */
  readonly subsamples: number;
  /** True mean count of a subsample. */
  readonly mean: number;
  /** True coefficient of variation between subsamples, beyond counting error. */
  readonly cv: number;
  readonly history: NonNullable<CountInput['history']> | 'own';
}

/** How the limits of one situation did. */
export interface Coverage {
  readonly situation: Situation;
  readonly samples: number;
  /** Part of the samples whose limits held the truth. */
  readonly covered: number;
  /** The same for exact limits of counting error alone. */
  readonly countingAlone: number;
  /** Median of the limits' ln(high / low) over that of someone who knew the true scatter. */
  readonly widthOverIdeal: number;
}

/** Random numbers the simulation draws from. */
export interface Draws {
  readonly uniform: () => number;
  readonly normal: () => number;
}

/** Gamma distributed with a shape of 1 or more and scale 1 (Marsaglia and Tsang 2000, ACM TOMS 26:363). */
export function gammaDraw(shape: number, { uniform, normal }: Draws): number {
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = normal();
    const v = (1 + c * x) ** 3;
    if (v > 0 && Math.log(1 - uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}

/** Poisson distributed: exponential waits below 30, halves above by the gamma-to-binomial-free split. */
export function poissonDraw(mean: number, draws: Draws): number {
  if (mean > 30) {
    // Waiting time of the m-th event: beyond the mean, the m-1 before fall at random; short of it, go on from there.
    const m = Math.floor(mean * 0.875);
    const wait = gammaDraw(m, draws);
    if (wait < mean) return m + poissonDraw(mean - wait, draws);
    let count = 0;
    for (let i = 1; i < m; i += 1) if (draws.uniform() < mean / wait) count += 1;
    return count;
  }
  let count = -1;
  for (let sum = 0; sum < mean; count += 1) sum -= Math.log(1 - draws.uniform());
  return count;
}

/** A count whose expectation scatters between subsamples (negative binomial, k = 1/cv^2). */
function countDraw({ mean, cv }: Situation, draws: Draws): number {
  if (cv === 0) return poissonDraw(mean, draws);
  const k = 1 / cv ** 2;
  return poissonDraw((mean * gammaDraw(k, draws)) / k, draws);
}

/** A hatchery's own history: 30 degrees of freedom, found with its own error around the true scatter. */
function ownHistory({ cv }: Situation, draws: Draws): { readonly cv: number; readonly degreesOfFreedom: number } {
  const degreesOfFreedom = 30;
  const chiSquare = 2 * gammaDraw(degreesOfFreedom / 2, draws);
  return { cv: cv * Math.sqrt(chiSquare / degreesOfFreedom), degreesOfFreedom };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

const EXACT = { container: { volumeMl: 1000, relativeStandardUncertainty: 0 }, volumeRelativeStandardUncertainty: 0 };

/**
 * Draws samples of one situation and counts how often the nominal 95 % limits hold the truth.
 *
 * @param samples how many, 1 or more
 */
export function coverageOf(situation: Situation, samples: number, draws: Draws): Coverage {
  const { subsamples, mean, cv, history } = situation;
  const truth = mean * EXACT.container.volumeMl;
  const holds = ({ low, high }: { readonly low: number; readonly high: number }): number =>
    low <= truth && truth <= high ? 1 : 0;
  let covered = 0;
  let countingAlone = 0;
  const widths: number[] = [];
  for (let i = 0; i < samples; i += 1) {
    const { total, countingErrorAlone } = estimateCount({
      ...EXACT,
      history: history === 'own' ? ownHistory(situation, draws) : history,
      subsamples: Array.from({ length: subsamples }, () => ({
        count: handTally(countDraw(situation, draws)),
        volumeMl: 1,
      })),
    });
    covered += holds(total);
    countingAlone += holds(countingErrorAlone);
    widths.push(total.low > 0 ? Math.log(total.high / total.low) : Infinity);
  }
  const ideal = 2 * 1.959964 * Math.sqrt((1 / mean + cv ** 2) / subsamples);
  return {
    situation,
    samples,
    covered: covered / samples,
    countingAlone: countingAlone / samples,
    widthOverIdeal: median(widths) / ideal,
  };
}
