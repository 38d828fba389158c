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
  type CountInput,
  type GrowthInput,
  type LengthOptions,
  type SurvivalInput,
} from '@veligrid/estimation';
import { checkQuestion } from './check-question.js';

/** Counts as they are typed: whoever types them stands for them. */
type Typed<T> = Omit<T, 'subsamples'> & {
  readonly subsamples: readonly (Omit<CountInput['subsamples'][number], 'count'> & { readonly count: number })[];
};

/** A question of any kind, as the schema describes it. */
export type Question =
  | ({ readonly kind: 'count' } & Typed<CountInput>)
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

type Estimates = {
  readonly count: ReturnType<typeof estimateCount>;
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

function answer(question: Question): Answer {
  const level = question.level ?? DEFAULT_LEVEL;
  switch (question.kind) {
    case 'count': {
      const subsamples = question.subsamples.map((one) => ({ ...one, count: handTally(one.count) }));
      return { kind: 'count', level, ...estimateCount({ ...question, subsamples }) };
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
