import { questionCheck, type QuestionCheck } from '@veligrid/season';

/** Checks a question against the published schema. */
export const checkQuestion: QuestionCheck = questionCheck(new URL('../../estimate.schema.json', import.meta.url));
