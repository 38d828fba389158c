import type { PlanAnswer } from '@veligrid/api';
import { ask } from '../api/ask.js';
import { useAnswer, type Answered } from '../parts/use-answer.js';

/** A question of a plan, as `POST /plans/try` takes it. */
export type Question = { readonly kind: string } & Readonly<Record<string, unknown>>;

type Kind = PlanAnswer['kind'];

/** Works a plan out whenever its question changes; nothing without a question. */
export function usePlan<K extends Kind>(
  kind: K,
  question: Question | null,
): Answered<Extract<PlanAnswer, { readonly kind: K }>> {
  return useAnswer(async () => {
    if (question === null) throw new Error('');
    const { answer } = await ask<'tryPlan'>('post', '/plans/try', { body: { question } });
    if (answer.kind !== kind) throw new Error(answer.kind);
    return answer as Extract<PlanAnswer, { readonly kind: K }>;
  }, [JSON.stringify(question)]);
}
