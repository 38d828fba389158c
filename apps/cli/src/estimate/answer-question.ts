import {
  auditEstimate,
  estimateCount,
  estimateGrowth,
  estimateLengths,
  estimateShare,
  estimateStages,
  estimateSurvival,
  handLengths,
  handTally,
  sumTotals,
  type CountInput,
  type GrowthInput,
  type LengthOptions,
  type SurvivalInput,
  type TotalsEstimate,
} from '@veligrid/estimation';
import { checkQuestion } from './check-question.js';

/** Counts as they are typed: whoever types them stands for them. */
type Typed<T> = Omit<T, 'subsamples'> & {
  readonly subsamples: readonly (Omit<CountInput['subsamples'][number], 'count'> & { readonly count: number })[];
};

type CountQuestion = { readonly kind: 'count' } & Typed<CountInput>;

/** A question of any kind, as the schema describes it. */
export type Question =
  | CountQuestion
  | {
      readonly kind: 'totals';
      readonly parts: readonly { readonly name: string; readonly count: CountQuestion }[];
      readonly sameContainer?: boolean;
      readonly level?: number;
    }
  | {
      readonly kind: 'share';
      readonly slides: readonly { readonly positive: number; readonly of: number }[];
      readonly denominator?: string;
      readonly level?: number;
    }
  | { readonly kind: 'stages'; readonly counts: Readonly<Record<string, number>>; readonly level?: number }
  | ({ readonly kind: 'survival' } & SurvivalInput)
  | ({ readonly kind: 'growth' } & GrowthInput)
  | ({ readonly kind: 'lengths'; readonly lengthsUm: readonly number[] } & LengthOptions)
  | {
      readonly kind: 'audit';
      readonly squares: readonly { readonly detected: number; readonly confirmed: number | null }[];
      readonly level?: number;
    };

/** One part of a sum, answered as if asked by itself. */
interface NamedAnswer {
  readonly name: string;
  readonly estimate: { readonly kind: 'count'; readonly level: number } & ReturnType<typeof estimateCount>;
}

type Estimates = {
  readonly count: ReturnType<typeof estimateCount>;
  readonly totals: Omit<TotalsEstimate, 'parts'> & { readonly parts: readonly NamedAnswer[] };
  readonly share: ReturnType<typeof estimateShare>;
  readonly stages: ReturnType<typeof estimateStages>;
  readonly survival: ReturnType<typeof estimateSurvival>;
  readonly growth: ReturnType<typeof estimateGrowth>;
  readonly lengths: ReturnType<typeof estimateLengths>;
  readonly audit: ReturnType<typeof auditEstimate>;
};

/** The answer with the kind and level of its question. */
export type Answer = {
  [K in keyof Estimates]: { readonly kind: K; readonly level: number } & Estimates[K];
}[keyof Estimates];

const DEFAULT_LEVEL = 0.95;

const countInput = (question: CountQuestion): CountInput => ({
  ...question,
  subsamples: question.subsamples.map((one) => ({ ...one, count: handTally(one.count) })),
});

function answer(question: Question): Answer {
  const level = question.level ?? DEFAULT_LEVEL;
  switch (question.kind) {
    case 'count':
      return { kind: 'count', level, ...estimateCount(countInput(question)) };
    case 'totals': {
      const parts = question.parts.map(({ name, count }) => ({ name, count: countInput(count) }));
      const sum = sumTotals(parts, question);
      const answers = sum.parts.map(({ name, estimate }) => ({
        name,
        estimate: { kind: 'count' as const, level, ...estimate },
      }));
      return { kind: 'totals', level, ...sum, parts: answers };
    }
    case 'share': {
      const slides = question.slides.map(({ positive, of }) => ({ positive: handTally(positive), of: handTally(of) }));
      return { kind: 'share', level, ...estimateShare(slides, question) };
    }
    case 'stages': {
      const counts = Object.entries(question.counts).map(([stage, count]) => [stage, handTally(count)] as const);
      return { kind: 'stages', level, ...estimateStages(Object.fromEntries(counts), level) };
    }
    case 'survival':
      return { kind: 'survival', level, ...estimateSurvival(question) };
    case 'growth':
      return { kind: 'growth', level, ...estimateGrowth(question) };
    case 'lengths':
      return { kind: 'lengths', level, ...estimateLengths(handLengths(question.lengthsUm), question) };
    case 'audit':
      return { kind: 'audit', level, ...auditEstimate(question.squares, level) };
  }
}

/**
 * Checks a question and answers it.
 *
 * @param question whatever was read
 * @throws VeligridError `bad-argument` with one sentence for what is wrong or missing
 */
export function answerQuestion(question: unknown): Answer {
  checkQuestion(question);
  return answer(question as Question);
}
