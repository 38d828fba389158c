import type { CountStep } from '@veligrid/imaging';

/** Share of a count that is done after each step, 0..1, as docs/performance.md has it for 400 larvae at 1.5 um/px. */
const DONE_AFTER: Readonly<Record<CountStep, number>> = {
  read: 0.09,
  field: 0.13,
  lines: 0.19,
  find: 0.5,
  refine: 0.68,
  measure: 0.77,
  stage: 1,
};

/** How far a count of a page is after a step, 0..1. */
export const doneAfter = (step: CountStep): number => DONE_AFTER[step];
