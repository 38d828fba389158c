import type { Warning } from '@veligrid/model';
import { productLimits, ratioLimits, type Limits } from '@veligrid/estimation';
import { checkAmount, checkSome } from './amount.js';
import { raised } from './answer.js';
import { ruleWarning } from './sentences.js';

/** What the D-larvae came from. */
export interface DYieldInput {
  readonly dLarvae: Limits;
  /** Eggs, or fertilised eggs, as `denominator` says. */
  readonly of: Limits;
  readonly denominator: 'eggs' | 'fertilised eggs';
  /** Fertilised part of the eggs; gives the yield of fertilised eggs as well. */
  readonly fertilisedShare?: Limits;
}

/** D-larvae over what they came from, with the denominator named. */
export interface DYield {
  readonly yields: readonly { readonly denominator: 'eggs' | 'fertilised eggs'; readonly share: Limits }[];
  readonly warnings: readonly Warning[];
}

/**
 * D-yield = D-larvae / eggs, or / fertilised eggs = eggs x fertilised part. A yield over 100 % is shown as it is, with the
 * flag `yield-over-100`: limits are never cut.
 *
 * @throws VeligridError `bad-argument` for numbers that are not above 0
 */
export function dYield({ dLarvae, of, denominator, fertilisedShare }: DYieldInput): DYield {
  checkAmount('dLarvae', dLarvae);
  checkSome(denominator, of);
  if (fertilisedShare) checkSome('fertilisedShare', fertilisedShare);
  const yields: DYield['yields'][number][] = [{ denominator, share: ratioLimits(dLarvae, of) }];
  if (denominator === 'eggs' && fertilisedShare) {
    yields.push({
      denominator: 'fertilised eggs',
      share: ratioLimits(dLarvae, productLimits(of, fertilisedShare)),
    });
  }
  return {
    yields,
    warnings: raised(
      yields.map(
        (one) =>
          one.share.estimate > 1 &&
          ruleWarning(one.share.low > 1 ? 'yield-over-100.beyond-limits' : 'yield-over-100.within-limits', {
            share: 100 * one.share.estimate,
            counted: one.denominator,
          }),
      ),
    ),
  };
}
