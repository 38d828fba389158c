import { badArgument, warningOf, type Warning } from '@veligrid/model';
import {
  estimateCount,
  estimateLengths,
  estimateShare,
  exactly,
  handLengths,
  handTally,
  type CountEstimate,
  type CountInput,
  type Level,
  type Limits,
} from '@veligrid/estimation';
import type { Amount } from '@veligrid/hatchery';

/** A tally as it is typed: whoever types it stands for it. */
export type TypedTally = Omit<CountInput, 'subsamples' | 'container'> & {
  readonly container?: CountInput['container'];
  readonly subsamples: readonly (Omit<CountInput['subsamples'][number], 'count'> & { readonly count: number })[];
};
/** A number, its limits, or the count that it comes from. */
export type TypedAmount = number | Amount | TypedTally;
/** A part, its limits, or slides. */
export type TypedShare = number | Limits | readonly { readonly positive: number; readonly of: number }[];

/** Turns what was typed into limits and keeps what the counts warn of. */
export interface Values {
  readonly count: (field: string, tally: TypedTally) => CountEstimate;
  readonly amount: (field: string, typed: TypedAmount) => Amount;
  readonly density: (field: string, typed: TypedAmount) => Limits;
  readonly share: (field: string, typed: TypedShare) => Limits;
  readonly meanLength: (field: string, lengthsUm: readonly number[]) => Limits;
  readonly limits: (field: string, typed: number | Limits) => Limits;
  /** What the counts warned of, with the field in front. */
  readonly warnings: readonly Warning[];
}

/** What a warning of a count is about: the field that the count was given in. */
export const PLAN_SUBJECTS = { field: '{field}' } as const;

/** A container of 1 mL without uncertainty, for densities. */
const ONE_ML = { volumeMl: 1, relativeStandardUncertainty: 0 };

function inOrder<T extends Limits>(field: string, limits: T): T {
  const { estimate, low, high } = limits;
  if (!(low <= estimate && estimate <= high)) {
    throw badArgument(field, 'limits with low <= estimate <= high', `${low}, ${estimate}, ${high}`);
  }
  return limits;
}

const amountOf = ({ total, relativeStandardUncertainty, degreesOfFreedom }: CountEstimate): Amount => ({
  ...total,
  relativeStandardUncertainty,
  degreesOfFreedom,
});

/**
 * Reads the values of one question.
 *
 * @param level of the question; limits that are typed are taken to hold at it
 */
export function readValues(level: Level): Values {
  const warnings: Warning[] = [];
  const keep = (field: string, found: readonly Warning[]): void => {
    const about = { sentences: PLAN_SUBJECTS, as: 'field', values: { field } } as const;
    warnings.push(...found.map((one) => warningOf(one, about)));
  };
  const count = (field: string, tally: TypedTally): CountEstimate => {
    const subsamples = tally.subsamples.map((one) => ({ ...one, count: handTally(one.count) }));
    const answer = estimateCount({ container: ONE_ML, ...tally, subsamples, level });
    keep(field, answer.warnings);
    return answer;
  };
  const limits = (field: string, typed: number | Limits): Limits =>
    typeof typed === 'number' ? exactly(typed) : inOrder(field, typed);
  return {
    count,
    limits,
    amount: (field, typed) => {
      if (typeof typed === 'number') return exactly(typed);
      return 'subsamples' in typed ? amountOf(count(field, typed)) : inOrder(field, typed);
    },
    density: (field, typed) =>
      typeof typed === 'object' && 'subsamples' in typed ? count(field, typed).densityPerMl : limits(field, typed),
    share: (field, typed) => {
      if (typeof typed === 'number') return exactly(typed);
      if (!Array.isArray(typed)) return inOrder(field, typed as Limits);
      const slides = (typed as readonly { positive: number; of: number }[]).map(({ positive, of }) => ({
        positive: handTally(positive),
        of: handTally(of),
      }));
      const answer = estimateShare(slides, { level });
      keep(field, answer.warnings);
      return answer.share;
    },
    meanLength: (field, lengthsUm) => {
      const answer = estimateLengths(handLengths(lengthsUm), { level });
      keep(field, answer.warnings);
      return answer.mean ?? exactly(lengthsUm[0] ?? 0);
    },
    warnings,
  };
}
