import { warningSaid, type Saying, type Warning } from '@veligrid/model';

/** What a reader of a result must know beside its figures. */
export const RESULT_SENTENCES = {
  'audit-not-done':
    '{open} of {all} squares that were drawn for auditing were not tallied by hand, so how many larvae the program missed is known less well.',
  'photos-left-out': 'Left out: {photos}. If they were left out for what they show, the figures lean.',
  'many-unsure': '{unsure} of {all} animals are unsure: shares of stages leave room for them.',
  'dead-not-judged.in-result':
    'The sample is fixed, so living and dead can not be told apart: there is no figure for the living alone.',
  'counted-by-hand': 'Counted by eye at the microscope, without a photo to look at again.',
} as const;

type Sentences = typeof RESULT_SENTENCES;

/** A caution of a result; numbers are whole. */
export const resultCaution = <As extends keyof Sentences>(as: As, values: Saying<Sentences, As>['values']): Warning =>
  warningSaid({ sentences: RESULT_SENTENCES, as, values, write: String });
