import type { FigurePreset } from '@veligrid/hatchery';
import { loadSpecies } from '@veligrid/imaging';
import { questionCheck } from './question-check.js';
import { answerFeedSheet, answerRation } from './answer-feed.js';
import { answerBreeders, answerPacking, answerReadiness, answerSetting } from './answer-set.js';
import { answerEggPool, answerGrowth, answerScreening, answerStocking, answerSurvival } from './answer-stock.js';
import type { PlanAnswer } from './answers.js';
import type { Context } from './context.js';
import { loadFigures } from './load-figures.js';
import type { PlanQuestion } from './questions.js';
import { readValues } from './read-values.js';

const check = questionCheck(new URL('../../plan.schema.json', import.meta.url));
const DEFAULT_LEVEL = 0.95;
const DEFAULT_SPECIES = 'eastern-oyster';

function bodyOf(question: PlanQuestion, context: Context, heading: Pick<PlanAnswer, 'level' | 'species'>): PlanAnswer {
  switch (question.kind) {
    case 'egg-pool':
      return { kind: question.kind, ...heading, ...answerEggPool(question, context) };
    case 'stocking':
      return { kind: question.kind, ...heading, ...answerStocking(question, context) };
    case 'survival':
      return { kind: question.kind, ...heading, ...answerSurvival(question, context) };
    case 'growth':
      return { kind: question.kind, ...heading, ...answerGrowth(question, context) };
    case 'screening':
      return { kind: question.kind, ...heading, ...answerScreening(question, context) };
    case 'ration':
      return { kind: question.kind, ...heading, ...answerRation(question, context) };
    case 'feed-sheet':
      return { kind: question.kind, ...heading, ...answerFeedSheet(question, context) };
    case 'readiness':
      return { kind: question.kind, ...heading, ...answerReadiness(question, context) };
    case 'setting':
      return { kind: question.kind, ...heading, ...answerSetting(question, context) };
    case 'packing':
      return { kind: question.kind, ...heading, ...answerPacking(question, context) };
    case 'breeders':
      return { kind: question.kind, ...heading, ...answerBreeders(question, context) };
  }
}

/**
 * Checks a question and answers it by the rules of the hatchery.
 *
 * @param asked whatever was read
 * @param own the hatchery's own figures, when it has any; of several the last wins
 * @throws VeligridError `bad-argument` with one sentence for what is wrong or missing
 */
export async function answerPlan(asked: unknown, own: readonly FigurePreset[] = []): Promise<PlanAnswer> {
  check(asked);
  const question = asked as PlanQuestion;
  const { level = DEFAULT_LEVEL, species = DEFAULT_SPECIES } = question;
  const values = readValues(level);
  const { sizes } = await loadSpecies(species);
  const answer = bodyOf(question, { values, level, sizes, book: await loadFigures(species, own) }, { level, species });
  return { ...answer, warnings: [...answer.warnings, ...values.warnings] };
}
