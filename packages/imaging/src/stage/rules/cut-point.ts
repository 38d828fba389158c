import { badArgument } from '@veligrid/model';

/** A normal quantity of one class and how common the class is. */
export interface ClassNormal {
  readonly mean: number;
  /** Above 0. */
  readonly deviation: number;
  /** Above 0; only the ratio to the other's matters. */
  readonly prior: number;
}

/**
 * Where two classes are equally likely: with equal deviations (m1 + m2) / 2 + s^2 ln(p1 / p2) / (m2 - m1), else the root of
 * the quadratic that lies between the means; the one nearest to their middle when none does.
 *
 * @param first class of the lower mean
 * @param second class of the higher mean
 */
export function cutPoint(first: ClassNormal, second: ClassNormal): number {
  const { mean: m1, deviation: s1, prior: p1 } = first;
  const { mean: m2, deviation: s2, prior: p2 } = second;
  if (!(m1 < m2)) throw badArgument('second.mean', 'above the mean of the first class', m2);
  const middle = (m1 + m2) / 2;
  if (Math.abs(s1 - s2) < 1e-9 * s1) return middle + (s1 * s1 * Math.log(p1 / p2)) / (m2 - m1);
  // ln(p1 / s1) - (x - m1)^2 / 2 s1^2 = ln(p2 / s2) - (x - m2)^2 / 2 s2^2 as a x^2 + b x + c = 0
  const a = 1 / (2 * s2 * s2) - 1 / (2 * s1 * s1);
  const b = m1 / (s1 * s1) - m2 / (s2 * s2);
  const c = (m2 * m2) / (2 * s2 * s2) - (m1 * m1) / (2 * s1 * s1) + Math.log((p1 * s2) / (p2 * s1));
  const root = Math.sqrt(Math.max(0, b * b - 4 * a * c));
  const roots = [(-b + root) / (2 * a), (-b - root) / (2 * a)];
  return roots.reduce((best, x) => (Math.abs(x - middle) < Math.abs(best - middle) ? x : best));
}
