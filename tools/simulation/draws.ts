import { normalFrom, seededRandom } from '../../tests/support/seeded-random.js';

/** Random numbers a simulation draws from. */
export interface Draws {
  /** From 0 up to, not including, 1. */
  readonly uniform: () => number;
  /** Of mean 0 and standard deviation 1. */
  readonly normal: () => number;
}

/** The same draws for the same seed. */
export function seededDraws(seed: number): Draws {
  const uniform = seededRandom(seed);
  return { uniform, normal: normalFrom(uniform) };
}

/** Gamma distributed with a shape of 1 or more and scale 1 (Marsaglia and Tsang 2000, ACM TOMS 26:363). */
function gammaDraw(shape: number, { uniform, normal }: Draws): number {
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = normal();
    const v = (1 + c * x) ** 3;
    if (v > 0 && Math.log(1 - uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}

/**
 * Poisson distributed. Up to 30 by adding waiting times; above, the waiting time of the m-th event is gamma, and what is
 * missing or too much is drawn given that (Ahrens and Dieter 1974, Computing 12:223).
 */
export function poissonDraw(mean: number, draws: Draws): number {
  if (mean > 30) {
    const m = Math.floor(mean * 0.875);
    const wait = gammaDraw(m, draws);
    if (wait < mean) return m + poissonDraw(mean - wait, draws);
    let before = 0;
    for (let i = 1; i < m; i += 1) if (draws.uniform() < mean / wait) before += 1;
    return before;
  }
  let events = -1;
  for (let time = 0; time < mean; events += 1) time -= Math.log(1 - draws.uniform());
  return events;
}

/** A count whose expectation scatters by a coefficient of variation: negative binomial with k = 1/cv^2, Poisson at 0. */
export function countDraw(mean: number, cv: number, draws: Draws): number {
  if (cv === 0) return poissonDraw(mean, draws);
  const k = 1 / cv ** 2;
  return poissonDraw((mean * gammaDraw(k, draws)) / k, draws);
}
