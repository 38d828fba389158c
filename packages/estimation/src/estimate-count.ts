import { badArgument, type Warning } from '@veligrid/model';
import type { Pooled } from './between-subsamples.js';
import type { Contribution } from './budget.js';
import { chooseSpread, type Chosen, type CountMethod } from './choose-spread.js';
import type { CountInput } from './count-input.js';
import { countWarnings } from './count-warnings.js';
import { dispersionOf, type Dispersion } from './dispersion.js';
import { byFilling, type Filling } from './fillings.js';
import { checkLevel, logLimits, times, twoSided, type Level, type Limits } from './limits.js';
import { sum } from './moments.js';
import { poissonLimits } from './poisson-limits.js';
import { concentrationOf } from './volumes.js';

/** Density and total of one container with their limits. */
export interface CountEstimate {
  readonly densityPerMl: Limits;
  readonly total: Limits;
  /** Total with exact limits of counting error alone: assumes a perfectly mixed container and exact volumes. */
  readonly countingErrorAlone: Limits;
  /** Total over eggs, with the eggs taken as exact; only when they were given. */
  readonly yieldOfEggs?: Limits;
  /** Of the total; null when nothing was counted. */
  readonly relativeStandardUncertainty: number | null;
  /** Of the total; null when as good as unlimited. */
  readonly degreesOfFreedom: number | null;
  readonly dispersion: Dispersion;
  readonly method: CountMethod;
  readonly contributions: readonly Contribution[];
  readonly warnings: readonly Warning[];
}

/** Relative standard uncertainty of a container and of a cell's depth when nothing is stated: common practice, no source. */
export const PRESET_UNCERTAINTY = 0.02;

function source(name: string, given: number | undefined): Contribution {
  if (given !== undefined && !(given >= 0 && given <= 1)) throw badArgument(name, 'a part from 0 to 1', given);
  return {
    name: given === undefined ? `${name} (preset 2 %)` : name,
    relativeStandardUncertainty: given ?? PRESET_UNCERTAINTY,
    degreesOfFreedom: null,
    source: given === undefined ? 'preset' : 'stated',
  };
}

/** Limits for the number counted: those chosen, and never inside counting error with the shared sources. */
function countLimits(counted: number, chosen: Chosen | null, others: readonly Contribution[], level: Level): Limits {
  const bare = poissonLimits(counted, level);
  const shared = twoSided(level) * Math.hypot(...others.map((other) => other.relativeStandardUncertainty), 0);
  if (counted === 0) return { estimate: 0, low: 0, high: bare.high * Math.exp(shared) };
  const low = counted * Math.exp(-Math.hypot(Math.log(counted / bare.low), shared));
  const high = counted * Math.exp(Math.hypot(Math.log(bare.high / counted), shared));
  if (chosen === null) return { estimate: counted, low, high };
  const wide = logLimits(counted, chosen.h);
  return { estimate: counted, low: Math.min(low, wide.low), high: Math.max(high, wide.high) };
}

function check(input: CountInput): void {
  checkLevel(input.level ?? 0.95);
  if (input.subsamples.length === 0) throw badArgument('subsamples', 'a list of one or more', 'none');
  if (!(input.container.volumeMl > 0))
    throw badArgument('container.volumeMl', 'a number above 0', input.container.volumeMl);
  for (const [i, { volumeMl }] of input.subsamples.entries()) {
    if (!(volumeMl > 0)) throw badArgument(`volumeMl of subsample ${i + 1}`, 'a number above 0', volumeMl);
  }
}

const byVolumeAndCount = (a: Filling, b: Filling): number => a.volumeMl - b.volumeMl || a.count - b.count;

/** Fillings of a count with what they say together. */
function poolOf({ subsamples }: CountInput): {
  readonly fillings: readonly Filling[];
  readonly volume: number;
  readonly pooled: Pooled;
} {
  const parts = subsamples.map(({ count, volumeMl, steps = [], filling }) => {
    const part = { count: Number(count), volumeMl: volumeMl * concentrationOf(steps) };
    return filling === undefined ? part : { ...part, filling };
  });
  // In one order always, so that the order in which they were typed does not even change the last digit.
  const fillings = byFilling(parts.toSorted(byVolumeAndCount)).toSorted(byVolumeAndCount);
  const counts = fillings.map(({ count }) => count);
  const volumes = fillings.map(({ volumeMl }) => volumeMl);
  const volume = sum(volumes);
  const shareSquares = sum(volumes.map((v) => (v / volume) ** 2));
  const dispersion = dispersionOf(counts, volumes);
  return { fillings, volume, pooled: { counted: sum(counts), subsamples: fillings.length, shareSquares, dispersion } };
}

/** What the limits of a total are made of; `shared` alone when nothing was counted. */
function madeOf(
  chosen: Chosen | null,
  shared: readonly Contribution[],
): Pick<CountEstimate, 'relativeStandardUncertainty' | 'degreesOfFreedom' | 'method' | 'contributions'> {
  if (chosen === null) {
    return {
      relativeStandardUncertainty: null,
      degreesOfFreedom: null,
      method: 'counting-error-only',
      contributions: shared,
    };
  }
  const { relativeStandardUncertainty, degreesOfFreedom, method, contributions } = chosen;
  return {
    relativeStandardUncertainty,
    degreesOfFreedom: degreesOfFreedom === Infinity ? null : degreesOfFreedom,
    method,
    contributions,
  };
}

/**
 * Density and total of a container from counts of subsamples, with limits on a log scale. Formulas, assumptions and what
 * the limits do not cover: docs/statistics.md.
 *
 * @throws VeligridError `bad-argument` for volumes, levels or uncertainties out of range
 */
export function estimateCount(input: CountInput): CountEstimate {
  check(input);
  const { container, history = 'starting', level = 0.95, eggs } = input;
  const { fillings, volume, pooled } = poolOf(input);
  const { counted, dispersion } = pooled;
  const depth = source('volume counted: cell depth or pipette', input.volumeRelativeStandardUncertainty);
  const vessel = source('container volume', container.relativeStandardUncertainty);
  const choose = (others: readonly Contribution[]): Chosen | null =>
    counted === 0 ? null : chooseSpread(pooled, history, others, level);
  const chosen = choose([depth, vessel]);
  const factor = container.volumeMl / volume;
  const total = times(countLimits(counted, chosen, [depth, vessel], level), factor);
  return {
    densityPerMl: times(countLimits(counted, choose([depth]), [depth], level), 1 / volume),
    total,
    countingErrorAlone: times(poissonLimits(counted, level), factor),
    ...(eggs === undefined ? {} : { yieldOfEggs: times(total, 1 / eggs) }),
    ...madeOf(chosen, [depth, vessel]),
    dispersion,
    warnings: countWarnings({ input, fillings, dispersion, chosen, total }),
  };
}
