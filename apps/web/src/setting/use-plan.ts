import type { PlanAnswer } from '@veligrid/api';
import { ask } from '../api/ask.js';
import { useAnswer, type Answered } from '../parts/use-answer.js';

/** A question of a plan, as `POST /plans/try` takes it. */
export type Question = { readonly kind: string } & Readonly<Record<string, unknown>>;

type Kind = PlanAnswer['kind'];
type AnswerOf<K extends Kind> = Extract<PlanAnswer, { readonly kind: K }>;

const isOf = <K extends Kind>(answer: PlanAnswer, kind: K): answer is AnswerOf<K> => answer.kind === kind;

/** Works a plan out whenever its question changes; nothing without a question. */
export function usePlan<K extends Kind>(kind: K, question: Question | null): Answered<AnswerOf<K>> {
  return useAnswer(async () => {
    if (question === null) return null;
    const { answer } = await ask<'tryPlan'>('post', '/plans/try', { body: { question } });
    return isOf(answer, kind) ? answer : null;
  }, [JSON.stringify(question)]) as Answered<AnswerOf<K>>;
}
