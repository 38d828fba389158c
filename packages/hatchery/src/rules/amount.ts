import { badArgument } from '@veligrid/model';
import { twoSided, type DatedTotal, type Level, type Limits } from '@veligrid/estimation';

/** A number of animals, cells or the like with its limits, as an estimate gives it; a plain number is `exactly(n)`. */
export interface Amount extends Limits {
  /** Of the estimate, where it is known; else it is read off the limits. */
  readonly relativeStandardUncertainty?: number | null;
  /** Behind it; null or left out when unlimited. */
  readonly degreesOfFreedom?: number | null;
}

/** @throws VeligridError `bad-argument` unless 0 <= low <= estimate <= high, all finite */
export function checkAmount(name: string, { estimate, low, high }: Limits): void {
  if (!(low >= 0 && low <= estimate && estimate <= high && high < Infinity)) {
    throw badArgument(name, 'limits with 0 <= low <= estimate <= high', `${low}, ${estimate}, ${high}`);
  }
}

/** Same, above 0. */
export function checkSome(name: string, amount: Limits): void {
  checkAmount(name, amount);
  if (!(amount.estimate > 0)) throw badArgument(name, 'a number above 0', amount.estimate);
}

/** The amount as a dated total; without a stated uncertainty half the width of its limits on a log scale over z. */
export function datedTotal(amount: Amount, level: Level): DatedTotal {
  const { estimate, low, high, relativeStandardUncertainty: u, degreesOfFreedom } = amount;
  const read = low > 0 ? Math.log(high / low) / (2 * twoSided(level)) : 3;
  return {
    total: estimate,
    relativeStandardUncertainty: Math.min(3, u ?? read),
    ...(u === undefined || u === null || degreesOfFreedom === undefined || degreesOfFreedom === null
      ? {}
      : { degreesOfFreedom }),
  };
}
