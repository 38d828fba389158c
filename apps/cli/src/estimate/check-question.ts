import { questionCheck, type QuestionCheck } from '../question/question-check.js';

/** Checks a question against the published schema. */
export const checkQuestion: QuestionCheck = questionCheck(new URL('../../estimate.schema.json', import.meta.url));
