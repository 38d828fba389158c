import { productLimits, times, type Limits } from '@veligrid/estimation';
import { checkAbove0 } from './checks.js';

/** Ground shell for single spat. */
export interface Microcultch {
  readonly grams: number;
  readonly grainsPerGram: number;
}

/** What becomes of it. */
export interface MicrocultchAnswer {
  readonly grains: number;
  readonly spatPerGrain: Limits;
  /** Of the grains with spat, the part that carry two or more, when larvae settle regardless of each other. */
  readonly doubles: Limits;
  /** Grains with one spat only. */
  readonly singles: Limits;
}

/** Part of occupied grains with two spat or more at a mean of m: 1 - m e^-m/(1 - e^-m) (Poisson). */
export function doublesPart(m: number): number {
  return m === 0 ? 0 : 1 - (m * Math.exp(-m)) / -Math.expm1(-m);
}

/** Mean spat per grain at which the part of doubles is p: the root of `doublesPart`, which rises with m. */
export function spatPerGrainFor(p: number): number {
  let [low, high] = [0, 50];
  for (let i = 0; i < 200; i += 1) {
    const middle = (low + high) / 2;
    if (doublesPart(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Spat on grains: spat = larvae x efficiency, spread at random over the grains. Derived; larvae seek each other out when
 * they settle, so that doubles are if anything more.
 */
export function microcultch(
  larvae: Limits,
  efficiency: Limits,
  { grams, grainsPerGram }: Microcultch,
): MicrocultchAnswer {
  checkAbove0('grams', grams);
  checkAbove0('grainsPerGram', grainsPerGram);
  const grains = grams * grainsPerGram;
  const spatPerGrain = times(productLimits(larvae, efficiency), 1 / grains);
  const { estimate, low, high } = spatPerGrain;
  const single = (m: number): number => grains * m * Math.exp(-m);
  const ends = [single(low), single(high), single(estimate)];
  return {
    grains,
    spatPerGrain,
    doubles: { estimate: doublesPart(estimate), low: doublesPart(low), high: doublesPart(high) },
    singles: {
      estimate: single(estimate),
      low: Math.min(...ends),
      // Singles are most at one spat a grain.
      high: low <= 1 && high >= 1 ? single(1) : Math.max(...ends),
    },
  };
}
